/**
 * Owns going through a list in which each thing is worked in the light of all before it, and after an edit only as far as that
 * reaches: from the first thing that is another, until what is known so far is what it was at the same thing before.
 */
import { stretchBetween } from './stretch.ts';

export interface Walked<S, R> {
  readonly results: readonly R[];
  /** What is known behind the last. */
  readonly end: S;
}

/**
 * What `step` gives of each thing of a list, where `from` is known before the first. Of lists of one `thread` what the last gave
 * is taken over, if all `beside` is the same: `step` must go by the thing, by what is known before it, and by that alone.
 */
export type Walk<T, S, R> = (
  list: readonly T[],
  thread: object | undefined,
  beside: readonly unknown[],
  from: S,
  step: (thing: T, known: S, index: number) => { readonly result: R; readonly known: S },
) => Walked<S, R>;

interface Last<T, S, R> {
  readonly list: readonly T[];
  readonly beside: readonly unknown[];
  readonly results: readonly R[];
  /** What was known before each. */
  readonly before: readonly S[];
  readonly end: S;
}

/** `isSame` says whether what is known is the same, so that what follows is. */
export function createWalk<T, S, R>(isSame: (one: S, other: S) => boolean): Walk<T, S, R> {
  const lastOf = new WeakMap<object, Last<T, S, R>>();
  return (list, thread, beside, from, step) => {
    const kept = thread === undefined ? undefined : lastOf.get(thread);
    const last = kept?.beside.every((each, i) => each === beside[i]) === true ? kept : undefined;
    const { head, tail } = last === undefined ? { head: 0, tail: 0 } : stretchBetween(last.list, list);
    const results = last?.results.slice(0, head) ?? [];
    const before = last?.before.slice(0, head) ?? [];
    let known = head === 0 ? from : (last?.before[head] ?? last?.end ?? from);
    for (let i = head; i < list.length; i++) {
      const left = list.length - i;
      const there = last === undefined || left > tail ? undefined : last.list.length - left;
      if (last !== undefined && there !== undefined && isSame(known, last.before[there] as S)) {
        for (let k = there; k < last.list.length; k++) {
          results.push(last.results[k] as R);
          before.push(last.before[k] as S);
        }
        known = last.end;
        break;
      }
      before.push(known);
      const next = step(list[i] as T, known, i);
      results.push(next.result);
      known = next.known;
    }
    if (thread !== undefined) lastOf.set(thread, { list, beside, results, before, end: known });
    return { results, end: known };
  };
}
