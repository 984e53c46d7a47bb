/** A brace that opens a tag and is never closed says nothing: that is told, and of no other brace. */
import { describe, expect, it } from 'vitest';
import { sheetOf } from '../bench/bench.ts';

const toldOf = (text: string) =>
  sheetOf(`# Job\n\n## As found\n\n${text}\n`).problems.map(({ kind, message, offers }) => {
    expect(kind).toBe('tag-unreadable');
    const [offer] = offers;
    return `${message.split(' opens')[0]} + ${offer?.edit.text}`;
  });

describe('a brace that is never closed', () => {
  it.each([
    ['{R17 = 470R 5W', '{R17 = 470R 5W + }'],
    ['So {R17 = 470R, V5.k to gnd', '{R17 = 470R, V5.k to gnd + }'],
    ['- {V5.a: 331 V', '{V5.a: 331 V + }'],
    ['{C14 -> 22n 630V\nand then more', '{C14 -> 22n 630V + }'],
    ['{R17 = 470R and {R18} too', '{R17 = 470R and + }'],
  ])('is told: %s', (text, told) => {
    expect(toldOf(text)).toEqual([told]);
  });

  it.each([
    'It is {R17: 470R} and {C14}.',
    'A set {a, b and c.',
    'See {note and {R17.',
    'In code `{R17 = 470R` it is code.',
    'An escaped \\{R17 = 470R is text.',
    'A template {{R17: x}} is somebody’s own.',
    'Maths $\\{R1 = 3$ here.',
    '{R17',
  ])('is nothing to tell: %s', (text) => {
    expect(toldOf(text)).toEqual([]);
  });
});
