/**
 * Owns arithmetic on intervals: what a figure can be when its inputs are only known between two bounds.
 * Bounds may be infinite (`>20M` has no upper one), never NaN; a division by an interval that holds zero is refused.
 */

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** The interval between two bounds, in either order. */
export function interval(a: number, b: number): Interval {
  return a <= b ? { low: a, high: b } : { low: b, high: a };
}

export function exactly(value: number): Interval {
  return { low: value, high: value };
}

/** A value with a tolerance as a ratio: 100 with 0.05 lies from 95 to 105. */
export function around(value: number, tolerance: number): Interval {
  return interval(value - Math.abs(value) * tolerance, value + Math.abs(value) * tolerance);
}

/** A value that may be off by the same absolute amount either way, as a meter's last digit is. */
export function offBy(value: number, uncertainty: number): Interval {
  return interval(value - uncertainty, value + uncertainty);
}

export function add(a: Interval, b: Interval): Interval {
  return { low: sum(a.low, b.low, -Infinity), high: sum(a.high, b.high, Infinity) };
}

export function negate(a: Interval): Interval {
  return { low: -a.high, high: -a.low };
}

export function subtract(a: Interval, b: Interval): Interval {
  return add(a, negate(b));
}

export function multiply(a: Interval, b: Interval): Interval {
  const corners = [
    product(a.low, b.low),
    product(a.low, b.high),
    product(a.high, b.low),
    product(a.high, b.high),
  ];
  return { low: Math.min(...corners), high: Math.max(...corners) };
}

export function scale(a: Interval, factor: number): Interval {
  return interval(product(a.low, factor), product(a.high, factor));
}

/** Undefined where the divisor may be zero: the quotient has no bounds then. */
export function divide(a: Interval, b: Interval): Interval | undefined {
  if (holds(b, 0)) return undefined;
  const corners = [
    ...quotients(a.low, b.low),
    ...quotients(a.low, b.high),
    ...quotients(a.high, b.low),
    ...quotients(a.high, b.high),
  ];
  return { low: Math.min(...corners), high: Math.max(...corners) };
}

/** An open end over an open end may be anything of its sign. */
function quotients(a: number, b: number): readonly number[] {
  const quotient = a / b;
  return Number.isNaN(quotient) ? [0, Math.sign(a) * Math.sign(b) * Infinity] : [quotient];
}

/** An interval times itself: unlike a product of two, it is never negative. */
export function square(a: Interval): Interval {
  const ends = [product(a.low, a.low), product(a.high, a.high)];
  return { low: holds(a, 0) ? 0 : Math.min(...ends), high: Math.max(...ends) };
}

/** Undefined where the interval reaches below zero. */
export function squareRoot(a: Interval): Interval | undefined {
  return a.low < 0 ? undefined : { low: Math.sqrt(a.low), high: Math.sqrt(a.high) };
}

export function absolute(a: Interval): Interval {
  if (!holds(a, 0)) return interval(Math.abs(a.low), Math.abs(a.high));
  return { low: 0, high: Math.max(-a.low, a.high) };
}

export function holds(a: Interval, value: number): boolean {
  return a.low <= value && value <= a.high;
}

/** Whether the two have a value in common; touching ends count. */
export function meets(a: Interval, b: Interval): boolean {
  return a.low <= b.high && b.low <= a.high;
}

/** What both allow; undefined where they exclude each other. */
export function intersection(a: Interval, b: Interval): Interval | undefined {
  return meets(a, b) ? { low: Math.max(a.low, b.low), high: Math.min(a.high, b.high) } : undefined;
}

/** The smallest interval that holds all of them; undefined for none. */
export function hull(of: readonly Interval[]): Interval | undefined {
  if (of.length === 0) return undefined;
  return { low: Math.min(...of.map((i) => i.low)), high: Math.max(...of.map((i) => i.high)) };
}

export function widen(a: Interval, by: number): Interval {
  return { low: a.low - by, high: a.high + by };
}

export function middle(a: Interval): number {
  return a.low + (a.high - a.low) / 2;
}

export function width(a: Interval): number {
  return a.high - a.low;
}

/** How far apart the nearest ends of two intervals are; 0 where they meet. */
export function gap(a: Interval, b: Interval): number {
  return Math.max(0, a.low - b.high, b.low - a.high);
}

/**
 * How far two intervals stand apart beyond what they allow, as a ratio of the mean size of their middles; 0 where they
 * meet. It is the departure that no tolerance explains.
 */
export function relativeGap(a: Interval, b: Interval): number {
  const apart = gap(a, b);
  if (apart === 0) return 0;
  const mean = (Math.abs(middle(a)) + Math.abs(middle(b))) / 2;
  // Two open-ended intervals that exclude each other have no middles to compare with: take their nearest ends.
  if (!Number.isFinite(mean)) {
    const ends = (Math.abs(Math.max(a.low, b.low)) + Math.abs(Math.min(a.high, b.high))) / 2;
    return ends === 0 ? 0 : apart / ends;
  }
  return mean === 0 ? 0 : apart / mean;
}

/** The relative difference of two numbers: their distance as a ratio of their mean size; 0 for two zeroes. */
export function relativeDifference(a: number, b: number): number {
  const mean = (Math.abs(a) + Math.abs(b)) / 2;
  return mean === 0 ? 0 : Math.abs(a - b) / mean;
}

/** Zero times an open end is zero: a bound that is not there multiplies nothing. */
function product(a: number, b: number): number {
  return a === 0 || b === 0 ? 0 : a * b;
}

/** Two open ends of opposite sign leave the bound open. */
function sum(a: number, b: number, open: number): number {
  const total = a + b;
  return Number.isNaN(total) ? open : total;
}
