/**
 * Owns the questions that every calculation asks of its inputs and of its answer, so that none leaves the real numbers:
 * an input outside the domain, and an answer too large to be a number, are refusals.
 */
import type { Refusal, Result } from './result.ts';
import { found, refused } from './result.ts';

type Named = Readonly<Record<string, number>>;

/** The refusal for the first input that is not above zero. */
export function refuseUnlessPositive(inputs: Named): Refusal | undefined {
  for (const name in inputs) {
    const value = inputs[name] ?? Number.NaN;
    if (!(value > 0 && Number.isFinite(value))) return refused(`non-positive ${name}`);
  }
  return undefined;
}

/** The refusal for the first input that is below zero; zero itself is allowed. */
export function refuseIfNegative(inputs: Named): Refusal | undefined {
  for (const name in inputs) {
    const value = inputs[name] ?? Number.NaN;
    if (!(value >= 0 && Number.isFinite(value))) return refused(`negative ${name}`);
  }
  return undefined;
}

/** The refusal for a number of valves, sections or capacitors that is not 1, 2, 3 … */
export function refuseUnlessCount(inputs: Named): Refusal | undefined {
  for (const name in inputs) {
    const value = inputs[name] ?? Number.NaN;
    if (!(Number.isInteger(value) && value >= 1)) return refused(`not a whole number of ${name}`);
  }
  return undefined;
}

/** The answer in its unit, or a refusal where it has overflowed. */
export function figure<T extends number>(value: number, inUnit: (value: number) => T): Result<T> {
  return Number.isFinite(value) ? found(inUnit(value)) : refused('out of range');
}

type Units<T> = { readonly [K in keyof T]: (value: number) => T[K] };

/** Several answers that belong together, each in its unit, or a refusal where one of them has overflowed. */
export function figures<T extends object>(
  values: { readonly [K in keyof T]: number },
  inUnits: Units<T>,
): Result<T> {
  const answer: Partial<T> = {};
  for (const name in inUnits) {
    const value = values[name];
    if (!Number.isFinite(value)) return refused('out of range');
    answer[name] = inUnits[name](value);
  }
  return found(answer as T);
}
