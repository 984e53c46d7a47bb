/**
 * Owns taking over single steps of making an amplifier: a step whose inputs are the very same things as last time gives the very
 * same result, so that the steps which build on it are taken over in their turn.
 */
import { isSameList } from '../sheet/keeping.ts';

/**
 * The result of a step, made anew unless its inputs are those of the last time. A list among the inputs is the same if the very
 * same things are in it. Every input that `make` looks at must be named; those that take work are found when they are asked for.
 */
export type Steps = <T>(name: string, inputs: Inputs, make: () => T) => T;

type Inputs = readonly unknown[] | (() => readonly unknown[]);

/** Where there is no next time, each step is made. */
export const everyStep: Steps = (_name, _inputs, make) => make();

/** Remembers the last of each step, or the last few. */
export function createSteps(kept = 1): Steps {
  const last = new Map<string, readonly Made[]>();
  return <T>(name: string, asked: Inputs, make: () => T): T => {
    const inputs = typeof asked === 'function' ? asked() : asked;
    const before = last.get(name) ?? [];
    const known = before.find((each) => isSame(each.inputs, inputs));
    if (known !== undefined) return known.result as T;
    const made = { inputs, result: make() };
    last.set(name, [made, ...before].slice(0, kept));
    return made.result;
  };
}

interface Made {
  readonly inputs: readonly unknown[];
  readonly result: unknown;
}

function isSame(one: readonly unknown[], other: readonly unknown[]): boolean {
  if (one.length !== other.length) return false;
  return one.every((each, i) => {
    const there = other[i];
    return Object.is(each, there) || (Array.isArray(each) && Array.isArray(there) && isSameList(each, there));
  });
}
