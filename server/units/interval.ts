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

/** Undefined where the divisor may be zero: the quotient has no bounds then. */
export function divide(a: Interval, b: Interval): Interval | undefined {
  if (holds(b, 0)) return undefined;
  const one = a.low / b.low;
  const two = a.low / b.high;
  const three = a.high / b.low;
  const four = a.high / b.high;
  const low = Math.min(one, two, three, four);
  // An open end over an open end is no number.
  if (Number.isNaN(low)) return divideOpen(a, b);
  return { low, high: Math.max(one, two, three, four) };
}

/** An open end over an open end may be anything of its sign. */
function divideOpen(a: Interval, b: Interval): Interval {
  const corners = [a.low, a.high].flatMap((top) =>
    [b.low, b.high].flatMap((bottom) => {
      const quotient = top / bottom;
      return Number.isNaN(quotient) ? [0, Math.sign(top) * Math.sign(bottom) * Infinity] : [quotient];
    }),
  );
  return { low: Math.min(...corners), high: Math.max(...corners) };
}

function holds(a: Interval, value: number): boolean {
  return a.low <= value && value <= a.high;
}

/** Whether the two have a value in common; touching ends count. */
function meets(a: Interval, b: Interval): boolean {
  return a.low <= b.high && b.low <= a.high;
}

/** What both allow; undefined where they exclude each other. */
export function intersection(a: Interval, b: Interval): Interval | undefined {
  return meets(a, b) ? { low: Math.max(a.low, b.low), high: Math.min(a.high, b.high) } : undefined;
}

/** How far apart the nearest ends of two intervals are; 0 where they meet. */
export function gap(a: Interval, b: Interval): number {
  return Math.max(0, a.low - b.high, b.low - a.high);
}

/** Two open ends of opposite sign leave the bound open. */
function sum(a: number, b: number, open: number): number {
  const total = a + b;
  return Number.isNaN(total) ? open : total;
}
