/**
 * Owns taking over single steps of making an amplifier: a step whose inputs are the very same things as last time gives the very
 * same result, so that the steps which build on it are taken over in their turn.
 */
import { isSameList } from '../sheet/keeping.ts';

/**
 * The result of a step, made anew unless its inputs are those of the last time. A list among the inputs is the same if the very
 * same things are in it. Every input that `make` looks at must be named.
 */
export type Steps = <T>(name: string, inputs: readonly unknown[], make: () => T) => T;

/** Where there is no next time, each step is made. */
export const everyStep: Steps = (_name, _inputs, make) => make();

/** Remembers the last of each step. */
export function createSteps(): Steps {
  const last = new Map<string, { readonly inputs: readonly unknown[]; readonly result: unknown }>();
  return <T>(name: string, inputs: readonly unknown[], make: () => T): T => {
    const known = last.get(name);
    if (known !== undefined && isSame(known.inputs, inputs)) return known.result as T;
    const result = make();
    last.set(name, { inputs, result });
    return result;
  };
}

function isSame(one: readonly unknown[], other: readonly unknown[]): boolean {
  if (one.length !== other.length) return false;
  return one.every((each, i) => {
    const there = other[i];
    return Object.is(each, there) || (Array.isArray(each) && Array.isArray(there) && isSameList(each, there));
  });
}
