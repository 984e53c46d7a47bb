/** Owns finding a place in a list that is in order, by halving. */

/** How many things stand in front: those that `isBefore`, which come before all others in the list. */
export function countBefore<T>(ordered: readonly T[], isBefore: (thing: T) => boolean): number {
  let low = 0;
  let high = ordered.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBefore(ordered[middle] as T)) low = middle + 1;
    else high = middle;
  }
  return low;
}
