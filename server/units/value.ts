/**
 * Owns what a written value is: the number in SI units, how sure its writer was of it, and the author's own spelling.
 * Reading one from text is `scan.ts`; writing one is `write.ts`.
 */
import type { Span } from '../text/span.ts';
import type { Quantity } from './si.ts';
import type { Tolerance } from './tolerance.ts';

/** How alternating volts or amperes were meant. */
export type Wave = 'rms' | 'pp' | 'peak';

/** One value as it was written. */
export interface Value {
  readonly quantity: Quantity;
  /** `~340`, `340 ish` are `about`; `<0.1` is `below`; `>20M` is `above`; `430-450` is `range`. */
  readonly sureness: 'exact' | 'about' | 'below' | 'above' | 'range';
  /** Bounds in the quantity's unit: of a range as written, of any other value half a unit of its last written digit
   *  (a tenth of the value for `about`). For `below` and `above` one bound is the value itself, the other open-ended is infinite. */
  readonly low: number;
  readonly high: number;
  /** False where the unit was supplied by the part's class or the point, not by the writer. */
  readonly unitWritten: boolean;
  /** Alternating, when it says so. Absent means direct current or not applicable. */
  readonly wave?: Wave | 'ac';
  /** A `+` or `-` was written before the number. */
  readonly signed: boolean;
  /** `±` or `+/-` was written before the number: a tolerance, or a pair of supplies. */
  readonly plusMinus?: true;
  /** From a letter of the marking itself: the second K of `4K7K`. A percentage beside it is a value of its own. */
  readonly tolerance?: Tolerance;
  /** The author's own spelling, never rewritten. */
  readonly spelling: string;
  readonly span: Span;
}

/** What was read as a value, as it is spelt and where it stands in a sheet. */
export function writtenAt(read: Omit<Value, 'spelling' | 'span'>, spelling: string, span: Span): Value {
  const { quantity, sureness, low, high, unitWritten, wave, tolerance, plusMinus, signed } = read;
  return { quantity, sureness, low, high, unitWritten, wave, tolerance, plusMinus, signed, spelling, span };
}

/** A value whose spelling has more than one meaning: no figure is made of it, and a finding says all meanings. */
export interface AmbiguousValue {
  readonly kind: 'ambiguous';
  /** At least two, likeliest first; each says itself in words (`6.15 Ω`, `a list: 6 Ω and 15 Ω`) and how to write it plainly. */
  readonly meanings: readonly Meaning[];
  /** Why it is ambiguous, in a technician's words. */
  readonly because: string;
  readonly spelling: string;
  readonly span: Span;
}

export interface Meaning {
  readonly saying: string;
  readonly values: readonly Quantity[];
  /** What to write so that it has only this meaning. */
  readonly plainly: string;
}

/** What a scan of a value may give. `open` and `short` are meter readings of their own (`OL`, `open`, `short`). */
export type WrittenValue =
  | { readonly kind: 'value'; readonly value: Value }
  | AmbiguousValue
  | { readonly kind: 'open' | 'short'; readonly spelling: string; readonly span: Span }
  | { readonly kind: 'unread'; readonly spelling: string; readonly span: Span };
