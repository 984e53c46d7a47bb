/**
 * Owns working again, of many things, only those that asked for something that has changed. Whoever answers a question about a
 * name (what was read at a node, what was figured of a part) notes the name; each thing of a loop is remembered with the names
 * that were asked for while it was worked, and when some names are touched, only the things that asked for one are worked anew.
 */

import { createGatherer } from '../text/picking.ts';
import { differenceOf, stretchBetween } from '../text/stretch.ts';

/** The names asked for by the thing that is being worked; undefined outside of loops. */
let asked: Set<string> | undefined;

/** Notes that an answer depends on what is known of this name. */
export function ask(name: string | undefined): void {
  if (asked !== undefined && name !== undefined) asked.add(name);
}

/** Whether somebody notes the names: then whoever answers by name need not be watched whole. */
export function isAsking(): boolean {
  return asked !== undefined;
}

const NOTHING: ReadonlySet<string> = new Set();
/** Most work asks for nothing: what it would note is used again. */
let spare: Set<string> | undefined;

/** The result of some work with the names that it asked for, which whoever works around it asks for as well. */
export function noteAsked<T>(work: () => T): { readonly result: T; readonly asked: ReadonlySet<string> } {
  const outer = asked;
  const own = spare ?? new Set<string>();
  spare = undefined;
  asked = own;
  try {
    const result = work();
    return { result, asked: own.size === 0 ? NOTHING : own };
  } finally {
    asked = outer;
    if (own.size === 0) spare = own;
    else if (outer !== undefined) for (const name of own) outer.add(name);
  }
}

/** Names of which something else is known than before; `all` where nothing can be taken over. */
export type Touched = ReadonlySet<string> | 'all';

/** Works a list of things one by one, and remembers what each gave and asked for. */
export interface Loop<T, R> {
  /**
   * What `work` gives of all things, in their order. It is called for those that are new and for those that asked for a name
   * that was touched; what it looks at beside names must be the same as in the last run. A thing stands in the list once.
   */
  readonly run: (things: readonly T[], touched: Touched, work: (thing: T) => readonly R[]) => readonly R[];
}

export function createLoop<T, R>(): Loop<T, R> {
  let last: readonly T[] = [];
  /** What each thing of the last list gave, in their order. */
  let gave: readonly (readonly R[])[] = [];
  const gather = createGatherer<readonly R[], R>((each) => each);
  const gatherings = {};
  /** Only what asked for something: most things do not. */
  const askedBy = new Map<T, ReadonlySet<string>>();
  const askers = new Map<string, Set<T>>();
  /** Work that failed half-way leaves nothing to be taken over. */
  let isWhole = false;

  const forget = (thing: T): void => {
    for (const name of askedBy.get(thing) ?? []) {
      const of = askers.get(name);
      of?.delete(thing);
      if (of?.size === 0) askers.delete(name);
    }
    askedBy.delete(thing);
  };

  const workOn = (thing: T, work: (thing: T) => readonly R[]): readonly R[] => {
    const { result, asked: names } = noteAsked(() => work(thing));
    if (names.size > 0) askedBy.set(thing, names);
    for (const name of names) {
      const of = askers.get(name);
      if (of === undefined) askers.set(name, new Set([thing]));
      else of.add(thing);
    }
    return result.length === 0 ? NONE : result;
  };

  return {
    run: (things, touched, work) => {
      const isAll = touched === 'all' || !isWhole;
      isWhole = false;
      if (isAll) {
        askedBy.clear();
        askers.clear();
        gave = things.map((thing) => workOn(thing, work));
      } else {
        const due = new Set<T>();
        for (const name of touched) for (const thing of askers.get(name) ?? []) due.add(thing);
        if (last !== things) {
          const { gone, come } = differenceOf(last, things);
          const { head, tail } = stretchBetween(last, things);
          for (const thing of gone) {
            forget(thing);
            due.delete(thing);
          }
          const now = come.map((thing) => workOn(thing, work));
          gave = gave.slice(0, head).concat(now, gave.slice(last.length - tail));
        }
        if (due.size > 0) {
          const now = [...gave];
          for (const thing of due) {
            forget(thing);
            now[things.indexOf(thing)] = workOn(thing, work);
          }
          gave = now;
        }
      }
      last = things;
      isWhole = true;
      return gather(gave, gatherings);
    },
  };
}

const NONE: readonly never[] = [];
