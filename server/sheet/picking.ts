/**
 * Owns picking things from a list that is like the last one but for a stretch, as a sheet's lists are after an edit: what was
 * picked of the rest is taken over.
 */
import { countBefore } from '../text/halving.ts';

/** What is picked of a list, in order. Lists of one `thread` are held against the last of it; without one nothing is kept. */
export type Picker<T, R> = (list: readonly T[], thread: object | undefined) => readonly R[];

interface Picked<T, R> {
  readonly list: readonly T[];
  readonly picked: readonly R[];
  /** Where in the list each stands. */
  readonly at: readonly number[];
}

const NOTHING = { list: [], picked: [], at: [] } as const;

/** `pick` must go by the thing alone. The result is the very same list while the same is picked. */
export function createPicker<T, R>(pick: (thing: T) => R | undefined): Picker<T, R> {
  const lastOf = new WeakMap<object, Picked<T, R>>();
  return (list, thread) => {
    if (thread === undefined) return pickAgain(list, NOTHING, pick).picked;
    const last = lastOf.get(thread);
    if (last?.list === list) return last.picked;
    const next = pickAgain(list, last ?? NOTHING, pick);
    lastOf.set(thread, next);
    return next.picked;
  };
}

function pickAgain<T, R>(
  list: readonly T[],
  last: Picked<T, R>,
  pick: (thing: T) => R | undefined,
): Picked<T, R> {
  const old = last.list;
  const shorter = Math.min(old.length, list.length);
  let head = 0;
  while (head < shorter && old[head] === list[head]) head++;
  let tail = 0;
  while (tail < shorter - head && old[old.length - 1 - tail] === list[list.length - 1 - tail]) tail++;
  const from = countBefore(last.at, (at) => at < head);
  const to = countBefore(last.at, (at) => at < old.length - tail);
  const middle: R[] = [];
  const middleAt: number[] = [];
  for (let i = head; i < list.length - tail; i++) {
    const thing = pick(list[i] as T);
    if (thing === undefined) continue;
    middle.push(thing);
    middleAt.push(i);
  }
  const by = list.length - old.length;
  const isSame = middle.length === to - from && middle.every((thing, i) => thing === last.picked[from + i]);
  const at = [...last.at.slice(0, from), ...middleAt, ...last.at.slice(to).map((index) => index + by)];
  const picked = isSame ? last.picked : [...last.picked.slice(0, from), ...middle, ...last.picked.slice(to)];
  return { list, picked, at };
}
