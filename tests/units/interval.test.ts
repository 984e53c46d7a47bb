/** Intervals hold every value that their inputs allow. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  add,
  divide,
  gap,
  type Interval,
  intersection,
  interval,
  negate,
  offBy,
} from '../../server/units/interval.ts';

describe('a technician would expect', () => {
  test('20 V ± 0.5 over 470 Ω ± 5 %', () => {
    const current = divide(offBy(20, 0.5), interval(446.5, 493.5));
    expect(current?.low).toBeCloseTo(19.5 / 493.5, 12);
    expect(current?.high).toBeCloseTo(20.5 / 446.5, 12);
  });

  test('a divisor that may be zero has no quotient', () => {
    expect(divide(interval(1, 1), interval(-1, 1))).toBeUndefined();
    expect(divide(interval(1, 1), interval(0, 1))).toBeUndefined();
  });

  test('open ends stay open and never become NaN', () => {
    const above = interval(20e6, Infinity);
    expect(add(above, negate(above))).toEqual({ low: -Infinity, high: Infinity });
    expect(divide(interval(10, 10), above)).toEqual({ low: 0, high: 10 / 20e6 });
    expect(divide(above, above)).toEqual({ low: 0, high: Infinity });
  });

  test('two that meet have no gap and something in common; two that do not have one and nothing', () => {
    expect(gap(interval(1, 2), interval(2, 3))).toBe(0);
    expect(gap(interval(1, 2), interval(4, 5))).toBe(2);
    expect(intersection(interval(1, 2), interval(2, 3))).toEqual({ low: 2, high: 2 });
    expect(intersection(interval(1, 2), interval(3, 4))).toBeUndefined();
    expect(intersection(interval(1, 3), interval(2, 4))).toEqual({ low: 2, high: 3 });
  });
});

test('whatever two inputs are within their bounds, the result is within its own', () => {
  const bound = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const inside = fc.tuple(bound, bound, fc.double({ min: 0, max: 1, noNaN: true })).map(([a, b, share]) => {
    const of = interval(a, b);
    return { of, value: Math.min(of.high, of.low + (of.high - of.low) * share) };
  });
  const roughly = ({ low, high }: Interval, value: number) => {
    const slack = 1e-9 * Math.max(1, Math.abs(value), Math.abs(low), Math.abs(high));
    return low - slack <= value && value <= high + slack;
  };
  fc.assert(
    fc.property(inside, inside, (a, b) => {
      expect(roughly(add(a.of, b.of), a.value + b.value)).toBe(true);
      expect(roughly(add(a.of, negate(b.of)), a.value - b.value)).toBe(true);
      const quotient = divide(a.of, b.of);
      if (quotient !== undefined) expect(roughly(quotient, a.value / b.value)).toBe(true);
    }),
    { seed: 6, numRuns: 500 },
  );
});
