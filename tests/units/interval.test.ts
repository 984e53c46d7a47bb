/** Intervals hold every value that their inputs allow, and tolerances say what those are. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  absolute,
  add,
  around,
  divide,
  exactly,
  gap,
  holds,
  hull,
  type Interval,
  intersection,
  interval,
  meets,
  middle,
  multiply,
  offBy,
  relativeDifference,
  relativeGap,
  scale,
  square,
  squareRoot,
  subtract,
  widen,
  width,
} from '../../server/units/interval.ts';
import { findToleranceFromRatio, spread, symmetric, writeTolerance } from '../../server/units/tolerance.ts';

describe('a technician would expect', () => {
  test('20 V ± 0.5 over 470 Ω ± 5 %', () => {
    const current = divide(offBy(20, 0.5), around(470, 0.05));
    expect(current?.low).toBeCloseTo(19.5 / 493.5, 12);
    expect(current?.high).toBeCloseTo(20.5 / 446.5, 12);
  });

  test('a divisor that may be zero has no quotient', () => {
    expect(divide(exactly(1), interval(-1, 1))).toBeUndefined();
    expect(divide(exactly(1), interval(0, 1))).toBeUndefined();
  });

  test('a square is never negative and a root of less than zero is none', () => {
    expect(square(interval(-2, 1))).toEqual({ low: 0, high: 4 });
    expect(squareRoot(interval(4, 9))).toEqual({ low: 2, high: 3 });
    expect(squareRoot(interval(-1, 9))).toBeUndefined();
    expect(absolute(interval(-3, 1))).toEqual({ low: 0, high: 3 });
    expect(absolute(interval(-3, -1))).toEqual({ low: 1, high: 3 });
  });

  test('open ends stay open and never become NaN', () => {
    const above = interval(20e6, Infinity);
    expect(scale(above, 0)).toEqual({ low: 0, high: 0 });
    expect(multiply(above, exactly(0))).toEqual({ low: 0, high: 0 });
    expect(subtract(above, above)).toEqual({ low: -Infinity, high: Infinity });
    expect(divide(exactly(10), above)).toEqual({ low: 0, high: 10 / 20e6 });
  });

  test('two that meet have no gap; two that do not have one, as a share of their size', () => {
    expect(meets(interval(1, 2), interval(2, 3))).toBe(true);
    expect(relativeGap(interval(1, 2), interval(2, 3))).toBe(0);
    expect(gap(interval(1, 2), interval(4, 5))).toBe(2);
    expect(relativeGap(interval(9, 11), interval(19, 21))).toBeCloseTo(8 / 15, 12);
    expect(relativeGap(interval(-Infinity, 1), interval(3, Infinity))).toBeCloseTo(1, 12);
    expect(relativeDifference(90, 110)).toBeCloseTo(0.2, 12);
    expect(relativeDifference(0, 0)).toBe(0);
    expect(intersection(interval(1, 2), interval(3, 4))).toBeUndefined();
    expect(intersection(interval(1, 3), interval(2, 4))).toEqual({ low: 2, high: 3 });
    expect(hull([interval(1, 2), interval(4, 5)])).toEqual({ low: 1, high: 5 });
    expect(hull([])).toBeUndefined();
    expect(width(widen(interval(1, 2), 1))).toBe(3);
    expect(middle(interval(10, 20))).toBe(15);
  });

  test('around a negative value the lower end is the more negative', () => {
    expect(around(-100, 0.05)).toEqual({ low: -105, high: -95 });
  });
});

test('whatever two inputs are within their bounds, the result is within its own', () => {
  const bound = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const inside = fc.tuple(bound, bound, fc.double({ min: 0, max: 1, noNaN: true })).map(([a, b, share]) => {
    const of = interval(a, b);
    return { of, value: Math.min(of.high, of.low + (of.high - of.low) * share) };
  });
  const roughly = (of: Interval, value: number) => {
    const slack = 1e-9 * Math.max(1, Math.abs(value), Math.abs(of.low), Math.abs(of.high));
    return holds(widen(of, slack), value);
  };
  fc.assert(
    fc.property(inside, inside, (a, b) => {
      expect(roughly(add(a.of, b.of), a.value + b.value)).toBe(true);
      expect(roughly(subtract(a.of, b.of), a.value - b.value)).toBe(true);
      expect(roughly(multiply(a.of, b.of), a.value * b.value)).toBe(true);
      expect(roughly(square(a.of), a.value ** 2)).toBe(true);
      expect(roughly(absolute(a.of), Math.abs(a.value))).toBe(true);
      const quotient = divide(a.of, b.of);
      if (quotient !== undefined) expect(roughly(quotient, a.value / b.value)).toBe(true);
    }),
    { seed: 6, numRuns: 500 },
  );
});

describe('tolerances', () => {
  test('a percentage beside a value is one, volts are not', () => {
    expect(findToleranceFromRatio({ value: 0.05, unit: '1' })).toEqual({ minus: 0.05, plus: 0.05 });
    expect(findToleranceFromRatio({ value: 5, unit: 'V' })).toBeUndefined();
  });

  test('an old electrolytic may be a fifth less or four fifths more', () => {
    expect(spread(100, { minus: 0.2, plus: 0.8 })).toEqual({ low: 80, high: 180 });
    expect(writeTolerance({ minus: 0.2, plus: 0.8 })).toBe('-20/+80\u00a0%');
    expect(writeTolerance(symmetric(0.05))).toBe('\u00b15\u00a0%');
  });
});
