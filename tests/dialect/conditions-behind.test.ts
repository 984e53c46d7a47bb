/** Condition words right behind a tag in braces, without brackets. */
import { describe, expect, test } from 'vitest';
import { amplifierOf } from '../bench/bench.ts';

const kinds = (line: string) =>
  amplifierOf(`# Job\n\n## As found\n\n${line}\n`)
    .phases.flatMap(({ readings }) => readings)
    .map(({ at, set }) => `${at} ${set.conditions.map(({ kind }) => kind).join(' ')}`.trim());

describe('words behind a tag', () => {
  test.each([
    ['- {OT.8R: 2.1 Vrms at 1 kHz} clipping', ['OT.8R clipping']],
    ['It gave {B+1: 430 V} in standby, {B+2: 352 V} in play.', ['B+1 in-standby', 'B+2 in-play']],
    ['{V5.g: 0 V} with C14 lifted', ['V5.g lifted']],
  ])('hold for it alone: %s', (line, found) => {
    expect(kinds(line)).toEqual(found);
  });

  test.each([
    ['{B+1: 352 V} hot to the touch', ['B+1']],
    ['{B+1: 352 V} with {B+2: 340 V} on it', ['B+1', 'B+2']],
    ['{B+1: 352 V} and C14 lifted: {V5.g: 0 V}', ['B+1', 'V5.g lifted']],
  ])('are words, or the next one’s: %s', (line, found) => {
    expect(kinds(line)).toEqual(found);
  });
});
