/**
 * Owns what scanned amounts come to: the value in SI units with its bounds, or every meaning of an ambiguous spelling
 * said in words.
 */
import { type Amount, contextOf } from './amount.ts';
import { type Expectation, meaningsOfBare, type UnitMeaning } from './notation.ts';
import { type Quantity, quantity, type Unit } from './si.ts';
import type { Meaning, Value } from './value.ts';
import { writeQuantity } from './write.ts';

/** What was understood, before it is tied to its place in the text. */
export type Scanned =
  | { readonly kind: 'open' | 'short' | 'unread'; readonly length: number }
  | {
      readonly kind: 'ambiguous';
      readonly length: number;
      readonly because: string;
      readonly meanings: readonly Meaning[];
    }
  | { readonly kind: 'value'; readonly length: number; readonly value: Omit<Value, 'spelling' | 'span'> };

export interface Body {
  readonly from: Amount;
  /** The upper end of a range. */
  readonly to: Amount | undefined;
  readonly end: number;
  readonly isAbout: boolean;
}

export interface Manner {
  readonly sureness: Value['sureness'];
  readonly factor: 1 | -1;
  readonly signed: boolean;
  readonly plusMinus: boolean;
  readonly expected: Expectation;
}

/** One complete meaning: its number, its bounds and its unit. */
interface Candidate {
  readonly low: number;
  readonly high: number;
  readonly value: number;
  readonly unit: Unit;
}

export function assemble(text: string, body: Body, manner: Manner): Scanned {
  const { from, to, end } = body;
  const candidates = to === undefined ? candidatesOf(from, manner) : candidatesOfRange(from, to, manner);
  const usable = candidates.every((c) => Number.isFinite(c.value) && Number.isFinite(c.high - c.low));
  const first = candidates[0];
  if (first === undefined || !usable) return { kind: 'unread', length: end };
  const isList = isUnlabelledSecond(text, body);
  if (candidates.length > 1 || isList) {
    return { kind: 'ambiguous', length: end, ...explain(candidates, body, isList, manner) };
  }
  const sureness = to === undefined ? manner.sureness : 'range';
  const { low, high } = boundsOf(first, sureness);
  const wave = to?.wave ?? from.wave;
  const tolerance = to === undefined ? from.tolerance : undefined;
  return {
    kind: 'value',
    length: end,
    value: {
      quantity: quantity(first.value, first.unit),
      sureness,
      low,
      high,
      unitWritten: from.unitWritten || (to?.unitWritten ?? false),
      wave: wave === 'dc' ? undefined : wave,
      tolerance,
      plusMinus: manner.plusMinus ? true : undefined,
      signed: manner.signed,
    },
  };
}

function boundsOf(candidate: Candidate, sureness: Value['sureness']): { low: number; high: number } {
  const { value, low, high } = candidate;
  if (sureness === 'below') return { low: Number.NEGATIVE_INFINITY, high: value };
  if (sureness === 'above') return { low: value, high: Number.POSITIVE_INFINITY };
  if (sureness !== 'about') return { low, high };
  const tenth = Math.abs(value) / 10;
  return { low: value - tenth, high: value + tenth };
}

function unitsOf(amount: Amount, manner: Manner): readonly UnitMeaning[] {
  if (amount.units !== undefined) return amount.units;
  const { number } = amount;
  const context = contextOf(number, '', { expected: manner.expected, isAbove: manner.sureness === 'above' });
  return meaningsOfBare(context, number.digits);
}

function candidatesOf(amount: Amount, manner: Manner): Candidate[] {
  const { number } = amount;
  const candidates: Candidate[] = [];
  for (const { unit, factor, code } of unitsOf(amount, manner)) {
    const options = code === undefined ? number.options : [code.picofarads];
    const steps = code === undefined ? number.steps : [code.step];
    for (let i = 0; i < options.length; i++) {
      const n = options[i] ?? 0;
      const half = (steps[i] ?? 0) / 2;
      const one = scaleBy(tidySum(n - half), factor) * manner.factor;
      const other = scaleBy(tidySum(n + half), factor) * manner.factor;
      const value = scaleBy(n, factor) * manner.factor;
      candidates.push({
        value: value === 0 ? 0 : value,
        low: Math.min(one, other),
        high: Math.max(one, other),
        unit,
      });
    }
  }
  return candidates;
}

/** A power of ten is moved as a decimal point, so that `.68` µF is 6.8e-7 to the last bit, which multiplying misses. */
function scaleBy(n: number, factor: number): number {
  if (factor === 1) return n;
  const power = POWERS.get(factor);
  if (power === undefined) return n * factor;
  // A whole number by a power of ten, both without an error, comes out as near as can be by one operation.
  for (let decimals = 0; decimals <= MOST_DECIMALS; decimals++) {
    const whole = Math.round(n * (TENS[decimals] ?? 1));
    if (whole / (TENS[decimals] ?? 1) !== n || Math.abs(whole) > 1e15) continue;
    const left = power - decimals;
    return left < 0 ? whole / (TENS[-left] ?? 1) : whole * (TENS[left] ?? 1);
  }
  const written = String(n);
  return written.includes('e') ? n * factor : Number(`${written}e${power}`);
}

/** More are seldom written. */
const MOST_DECIMALS = 4;
const TENS: readonly number[] = Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));

/** The exponents of all prefixes and of what they are scaled by. */
const POWERS: ReadonlyMap<number, number> = new Map(
  Array.from({ length: 25 }, (_, i) => i - 15).map((power) => [Number(`1e${power}`), power]),
);

/** Without the noise that a binary sum leaves behind the fifteenth digit (4.7 − 0.05 is 4.65). */
function tidySum(n: number): number {
  // Wholes and halves are exact.
  if (Number.isInteger(n * 2) && Math.abs(n) < 1e12) return n;
  // So near a short decimal, it is what the first fifteen digits say.
  for (let decimals = 1; decimals <= MOST_DECIMALS; decimals++) {
    const whole = Math.round(n * (TENS[decimals] ?? 1));
    const tidy = whole / (TENS[decimals] ?? 1);
    if (Math.abs(tidy - n) <= 3e-16 * Math.abs(n) && Math.abs(whole) < 1e15) return tidy;
  }
  return Number(n.toPrecision(15));
}

function candidatesOfRange(from: Amount, to: Amount, manner: Manner): Candidate[] {
  const shared = to.units ?? from.units ?? unitsOf(to, manner);
  return shared.flatMap((meaning, u) => {
    const own = from.units?.[u] ?? from.units?.[0] ?? meaning;
    return to.number.options.map((high, i) => {
      const low = from.number.options[i] ?? from.number.options[0] ?? 0;
      const top = scaleBy(high, meaning.factor) * manner.factor;
      // In `220-1k` the first end is in plain ohms: taken as 220k it would lie above the second.
      const isPlain = from.units === undefined && low > high && meaning.factor > 1;
      const bottom = scaleBy(low, isPlain ? 1 : own.factor) * manner.factor;
      const value = tidySum(bottom + (top - bottom) / 2);
      return { low: Math.min(bottom, top), high: Math.max(bottom, top), value, unit: meaning.unit };
    });
  });
}

/** `6,15, 200 ohm`: a number without a unit of its own before another; 6.15, or 6 and 15? */
function isUnlabelledSecond(text: string, body: Body): boolean {
  const { from, to, end } = body;
  return (
    to === undefined &&
    from.units === undefined &&
    from.number.hasComma &&
    /^[ \u00a0]*,[ \u00a0]*\d/.test(text.slice(end, end + 6))
  );
}

function explain(
  candidates: readonly Candidate[],
  body: Body,
  isList: boolean,
  manner: Manner,
): { because: string; meanings: Meaning[] } {
  const inWords = (value: number, unit: Unit) => writeQuantity({ value, unit }, { digits: 6 });
  const inTag = (value: number, unit: Unit) => writeQuantity({ value, unit }, { style: 'tag' });
  const meanings: Meaning[] = candidates.map(({ value, low, high, unit }) =>
    body.to === undefined
      ? { saying: inWords(value, unit), values: [quantity(value, unit)], plainly: inTag(value, unit) }
      : {
          saying: `${inWords(low, unit)} to ${inWords(high, unit)}`,
          values: [quantity(low, unit), quantity(high, unit)],
          plainly: `${inTag(low, unit)}-${inTag(high, unit)}`,
        },
  );
  const unit = candidates[0]?.unit ?? '1';
  if (isList) meanings.push(listMeaning(body.from, unit, manner));
  return { because: reasonFor(candidates, body, isList), meanings };
}

function listMeaning(amount: Amount, unit: Unit, manner: Manner): Meaning {
  const whole = amount.number.options[0] ?? 0;
  const step = amount.number.steps[0] ?? 1;
  const first = Math.trunc(whole);
  const second = Math.round((whole - first) / step);
  const values: Quantity[] = [quantity(first * manner.factor, unit), quantity(second, unit)];
  return {
    saying: `a list: ${values.map((q) => writeQuantity(q)).join(' and ')}`,
    values,
    plainly: values.map((q) => writeQuantity(q, { style: 'tag' })).join(', '),
  };
}

function reasonFor(candidates: readonly Candidate[], body: Body, isList: boolean): string {
  if (isList) return 'the comma may be a decimal comma or part two numbers';
  if (body.from.number.options.length > 1) return 'the comma may be a decimal comma or group thousands';
  const units = new Set(candidates.map((c) => c.unit));
  if (body.from.units === undefined && body.to?.units === undefined) {
    return units.size > 1 ? 'a number without a unit may be either here' : 'the number has no unit or prefix';
  }
  if (units.size > 1) return 'the letter may stand for either here';
  return units.has('F')
    ? 'an old M means micro, a modern m milli'
    : 'm and M are written for both milli and mega';
}
