/**
 * Owns picking things from a list that is like the last one but for a stretch, as a sheet's lists are after an edit: what was
 * picked of the rest is taken over, and nothing of the rest is looked at.
 */
import { countBefore } from './halving.ts';
import { stretchBetween } from './stretch.ts';

/** What is picked of a list, in order. Lists of one `thread` are held against the last of it; without one nothing is kept. */
export type Picker<T, R> = (list: readonly T[], thread: object | undefined) => readonly R[];

interface Picked<T, R> {
  readonly list: readonly T[];
  readonly picked: readonly R[];
  /** Where in the list each comes from. */
  readonly at: readonly number[];
}

const NOTHING = { list: [], picked: [], at: [] } as const;
const NONE: readonly never[] = [];

/** `pick` must go by the thing alone. The result is the very same list while the same is picked. */
export function createPicker<T, R>(pick: (thing: T) => R | undefined): Picker<T, R> {
  const keeping = createGatherer<T, R>((thing) => {
    const picked = pick(thing);
    return picked === undefined ? NONE : [picked];
  });
  return (list, thread) => {
    if (thread !== undefined) return keeping(list, thread);
    const all: R[] = [];
    for (const thing of list) {
      const picked = pick(thing);
      if (picked !== undefined) all.push(picked);
    }
    return all;
  };
}

/** The same, where each thing may give several. */
export function createGatherer<T, R>(gather: (thing: T) => readonly R[]): Picker<T, R> {
  const lastOf = new WeakMap<object, Picked<T, R>>();
  return (list, thread) => {
    if (thread === undefined) {
      const all: R[] = [];
      for (const thing of list) for (const each of gather(thing)) all.push(each);
      return all;
    }
    const last = lastOf.get(thread);
    if (last?.list === list) return last.picked;
    const next = pickAgain(list, last ?? NOTHING, gather);
    lastOf.set(thread, next);
    return next.picked;
  };
}

function pickAgain<T, R>(
  list: readonly T[],
  last: Picked<T, R>,
  gather: (thing: T) => readonly R[],
): Picked<T, R> {
  const { head, tail } = stretchBetween(last.list, list);
  const end = last.list.length - tail;
  const from = countBefore(last.at, (at) => at < head);
  const to = countBefore(last.at, (at) => at < end);
  const middle: R[] = [];
  const middleAt: number[] = [];
  for (let i = head; i < list.length - tail; i++) {
    for (const thing of gather(list[i] as T)) {
      middle.push(thing);
      middleAt.push(i);
    }
  }
  const by = list.length - last.list.length;
  const isSame = middle.length === to - from && middle.every((thing, i) => thing === last.picked[from + i]);
  const picked = isSame ? last.picked : spliced(last.picked, from, to, middle);
  const isAtSame = isSame && by === 0 && middleAt.every((at, i) => at === last.at[from + i]);
  if (isAtSame) return { list, picked, at: last.at };
  const at = spliced(last.at, from, to, middleAt);
  if (by !== 0) for (let i = from + middleAt.length; i < at.length; i++) at[i] = (at[i] ?? 0) + by;
  return { list, picked, at };
}

function spliced<T>(list: readonly T[], from: number, to: number, middle: readonly T[]): T[] {
  return list.slice(0, from).concat(middle, list.slice(to));
}
