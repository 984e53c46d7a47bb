/**
 * Owns noticing what of its sheets a piece of work looked at. Work that is given watched sheets can be taken over whole for
 * later ones, as long as all that it looked at is the very same: nobody has to say, or can forget to say, what that was.
 */
import { isSameList } from './keeping.ts';
import type { Sheet } from './model.ts';

/** What was looked at, by name, and how the same is looked up for other sheets. */
export interface Watch<Sources> {
  readonly note: (name: string, value: unknown, lookUp: (from: Sources) => unknown) => void;
  /** All that another watch sees was looked at here, too. */
  readonly include: (other: Watch<Sources>) => void;
  /** Whether all that was looked at is the same in other sources. */
  readonly isSameIn: (from: Sources) => boolean;
}

export function createWatch<Sources>(): Watch<Sources> {
  const seen = new Map<string, { readonly value: unknown; readonly lookUp: (from: Sources) => unknown }>();
  const included = new Set<Watch<Sources>>();
  return {
    note: (name, value, lookUp) => {
      if (!seen.has(name)) seen.set(name, { value, lookUp });
    },
    include: (other) => void included.add(other),
    isSameIn: (from) => {
      for (const { value, lookUp } of seen.values()) if (!isSame(value, lookUp(from))) return false;
      for (const other of included) if (!other.isSameIn(from)) return false;
      return true;
    },
  };
}

function isSame(one: unknown, other: unknown): boolean {
  return Object.is(one, other) || (Array.isArray(one) && Array.isArray(other) && isSameList(one, other));
}

/** A sheet that tells the watch of everything that is read of it; `findIn` is how its like is found in other sources. */
export function watchSheet<Sources>(
  sheet: Sheet,
  name: string,
  watch: Watch<Sources>,
  findIn: (from: Sources) => Sheet | undefined,
): Sheet {
  const field: Sheet['field'] = (key) => {
    const value = sheet.field(key);
    watch.note(`${name} field ${key}`, value, (from) => findIn(from)?.field(key));
    return value;
  };
  return watchObject(sheet, name, watch, findIn, { field });
}

/** As `watchSheet`, for anything; what `instead` gives is not noted here, since it watches itself. */
export function watchObject<T extends object, Sources>(
  object: T,
  name: string,
  watch: Watch<Sources>,
  findIn: (from: Sources) => T | undefined,
  instead: Partial<T>,
): T {
  const look = (key: PropertyKey, of: T | undefined): unknown =>
    of === undefined ? undefined : Reflect.get(of, key);
  /** Noted once: many a thing is looked at thousands of times. */
  const noted = new Set<PropertyKey>();
  const watched = new Proxy(object, {
    get: (target, key) => {
      if (key in instead) return Reflect.get(instead, key);
      const value = look(key, target);
      if (!noted.has(key)) {
        noted.add(key);
        watch.note(`${name} ${String(key)}`, value, (from) => look(key, findIn(from)));
      }
      return value;
    },
    has: (target, key) => {
      const isThere = key in target;
      watch.note(`${name} has ${String(key)}`, isThere, (from) => {
        const there = findIn(from);
        return there !== undefined && key in there;
      });
      return isThere;
    },
    ownKeys: (target) => {
      const keys = Reflect.ownKeys(target);
      watch.note(`${name} keys`, keys, (from) => {
        const there = findIn(from);
        return there === undefined ? undefined : Reflect.ownKeys(there);
      });
      return keys;
    },
  });
  behind.set(watched, {
    object,
    note: (what, value, pick) =>
      watch.note(`${name} ${what}`, value, (from) => {
        const there = findIn(from);
        return there && pick(there);
      }),
  });
  return watched;
}

/** What stands behind a watched thing, and how something that is made of it is noted. */
interface Behind {
  readonly object: object;
  readonly note: (what: string, value: unknown, pick: (of: object) => unknown) => void;
}

const behind = new WeakMap<object, Behind>();

/**
 * What `pick` makes of a thing, of which no more counts as looked at than that: whoever watches works again when something
 * else is made of it, in a list other things. It must be quick, and always make the same of the same; `what` is its name.
 */
export function lookUpIn<T extends object, R>(thing: T, what: string, pick: (of: T) => R): R {
  const known = behind.get(thing);
  if (known === undefined) return pick(thing);
  const picked = lookUpIn(known.object as T, what, pick);
  known.note(what, picked, (of) => pick(of as T));
  return picked;
}

/**
 * The thing itself behind a watched one, for whoever keeps something by it: all of it counts as looked at, so that whoever
 * watches works again when it is another.
 */
export function wholeOf<T extends object>(thing: T): T {
  return lookUpIn(thing, 'itself', (own) => own);
}

/** Whether somebody notes what is looked at of a thing: otherwise nothing need be kept for a next time. */
export function isWatched(thing: object): boolean {
  return behind.has(thing);
}

/** The thing itself behind a watched one, for whoever answers for what is looked at of it by other means. */
export function unwatched<T extends object>(thing: T): T {
  const known = behind.get(thing);
  return known === undefined ? thing : unwatched(known.object as T);
}
