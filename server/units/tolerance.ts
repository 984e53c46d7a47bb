/**
 * Owns tolerances: how far a part may lie from its marking, read from percentages and IEC 60062 letters.
 * What is usual where nothing is marked depends on the kind of part and is not known here.
 */

/** How far below and above its marked value a part may lie, as ratios (0.1 is 10 %); both are positive or zero. */
export interface Tolerance {
  readonly minus: number;
  readonly plus: number;
}

/** Percentages by letter, IEC 60062:2016 table for tolerances (letters other than F and K from memory, unverified). */
const percentByLetter: ReadonlyMap<string, readonly [minus: number, plus: number]> = new Map([
  ['E', [0.005, 0.005]],
  ['L', [0.01, 0.01]],
  ['P', [0.02, 0.02]],
  ['W', [0.05, 0.05]],
  ['B', [0.1, 0.1]],
  ['C', [0.25, 0.25]],
  ['D', [0.5, 0.5]],
  ['F', [1, 1]],
  ['G', [2, 2]],
  ['H', [3, 3]],
  ['J', [5, 5]],
  ['K', [10, 10]],
  ['M', [20, 20]],
  ['N', [30, 30]],
  ['Q', [10, 30]],
  ['T', [10, 50]],
  ['S', [20, 50]],
  ['Z', [20, 80]],
]);

/** What an IEC 60062 letter allows; undefined for a letter that the standard gives no percentage. */
export function findToleranceByLetter(letter: string): Tolerance | undefined {
  const percent = percentByLetter.get(letter);
  return percent === undefined ? undefined : { minus: percent[0] / 100, plus: percent[1] / 100 };
}
