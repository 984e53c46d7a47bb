/** Owns the finding of what one text has that another has not: the one stretch outside of which both are the same. */

/** `before` from `start` to `endBefore` became `after` from `start` to `endAfter`; all else is the same. */
export interface Change {
  readonly start: number;
  readonly endBefore: number;
  readonly endAfter: number;
}

/** So much is compared at once: the engine compares two stretches many times as fast as we do two characters. */
const STRIDE = 4096;

export function findChange(before: string, after: string): Change {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (
    start + STRIDE <= shorter &&
    before.slice(start, start + STRIDE) === after.slice(start, start + STRIDE)
  ) {
    start += STRIDE;
  }
  while (start < shorter && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  const left = shorter - start;
  let same = 0;
  const tail = (text: string, from: number): string =>
    text.slice(text.length - from - STRIDE, text.length - from);
  while (same + STRIDE <= left && tail(before, same) === tail(after, same)) same += STRIDE;
  while (
    same < left &&
    before.charCodeAt(before.length - 1 - same) === after.charCodeAt(after.length - 1 - same)
  ) {
    same++;
  }
  return { start, endBefore: before.length - same, endAfter: after.length - same };
}
