/** The words at the foot of the window. */
import { describe, expect, it } from 'vitest';
import { sayCounts } from '../../client/counts.ts';

describe('the findings of a sheet', () => {
  it.each([
    [[0, 0, 0, 0], 'no findings'],
    [[1, 0, 0, 0], '1 error'],
    [[2, 1, 4, 0], '2 errors, 1 warning, 4 notes'],
    [[0, 0, 1, 2], '1 note, 2 hints'],
  ] as const)('%j are said as “%s”', (counts, words) => {
    expect(sayCounts(counts)).toBe(words);
  });
});
