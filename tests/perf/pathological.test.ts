/** Texts that have brought other readers to their knees are read to their end, or refused before they are parsed. What they cost is a benchmark's to say. */
import { describe, expect, it } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { LINEAR, REFUSED } from './hostile-texts.ts';

const kindsIn = (text: string) =>
  readNote(createSnapshot('a.tagstrip.md', text)).problems.map(({ kind }) => kind);

describe('a text of a hard shape', () => {
  it.each(LINEAR)('is read: %s', (_name, make) => {
    expect(kindsIn(make(64))).not.toContain('sheet-too-large');
    // Many times as long; one that bends upwards would not come back within the time that a test has.
    expect(() => kindsIn(make(8000))).not.toThrow();
  });
});

describe('a text beyond a limit', () => {
  it.each(REFUSED)('is refused whole: %s', (_name, text) => {
    expect(kindsIn(text)).toEqual(['sheet-too-large']);
  });
});
