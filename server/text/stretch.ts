/** Owns finding the stretch in which a list is another than the list before it: around it both have the very same things. */

export interface Stretch {
  /** How many things are the same from the front on. */
  readonly head: number;
  /** How many are the same at the end, none of them counted twice. */
  readonly tail: number;
}

/** The last stretch of each list that was held against another. Weak, so that no list keeps all the lists before it. */
const known = new WeakMap<
  readonly unknown[],
  { readonly before: WeakRef<readonly unknown[]>; readonly stretch: Stretch }
>();

/** Many hold the same two lists against each other: the stretch is looked for once. */
export function stretchBetween(before: readonly unknown[], after: readonly unknown[]): Stretch {
  if (before === after) return { head: after.length, tail: 0 };
  const last = known.get(after);
  if (last !== undefined && last.before.deref() === before) return last.stretch;
  const shorter = Math.min(before.length, after.length);
  let head = 0;
  while (head < shorter && before[head] === after[head]) head++;
  let tail = 0;
  while (tail < shorter - head && before[before.length - 1 - tail] === after[after.length - 1 - tail]) tail++;
  const stretch = { head, tail };
  known.set(after, { before: new WeakRef(before), stretch });
  return stretch;
}

/** What went and what came between two lists, outside of their like heads and tails: what changed its place is among both. */
export function differenceOf<T>(
  before: readonly T[],
  after: readonly T[],
): { readonly gone: readonly T[]; readonly come: readonly T[] } {
  const { head, tail } = stretchBetween(before, after);
  return { gone: before.slice(head, before.length - tail), come: after.slice(head, after.length - tail) };
}
