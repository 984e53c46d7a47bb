/** Holds scales: round numbers along them, and nothing ever beyond their ends. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearScale, logScale, roundStep } from '../../../server/summary/plot/axis.ts';

const ROOM = { from: 0, to: 100 };

describe('a logarithmic scale', () => {
  const scale = logScale(20, 20_000, ROOM);
  it('has ticks at 1, 2 and 5 of every decade', () => {
    expect(scale.ticks).toEqual([20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000]);
  });
  it('gives every decade the same room', () => {
    const [a, b, c] = [20, 200, 2000].map(scale.at);
    expect(b).toBeCloseTo(100 / 3, 9);
    expect((c ?? 0) - (b ?? 0)).toBeCloseTo((b ?? 0) - (a ?? 0), 9);
  });
  it('draws at its ends what lies beyond them, and what is no frequency', () => {
    expect([0, -5, 1, Number.NaN].map(scale.at)).toEqual([0, 0, 0, 0]);
    expect([1e6, Number.POSITIVE_INFINITY].map(scale.at)).toEqual([100, 100]);
  });
});

describe('a linear scale', () => {
  it('ends on round numbers and has its ticks there', () => {
    expect(linearScale(243, 389, ROOM, 6).ticks).toEqual([200, 250, 300, 350, 400]);
    expect(linearScale(-0.3, 0.3, ROOM, 6).ticks).toEqual([-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3]);
  });
  it('keeps its ends where they are asked for exactly', () => {
    const scale = linearScale(0, 575.2, ROOM, 8, 'exact');
    expect(scale.ticks).toEqual([0, 100, 200, 300, 400, 500]);
    expect(scale.at(575.2)).toBe(100);
  });
  it('runs downwards where its room does', () => {
    expect(linearScale(0, 10, { from: 100, to: 0 }, 5).at(2)).toBeCloseTo(80, 9);
  });
  it('takes two values that only rounding tells apart for one', () => {
    expect(linearScale(340, 340 + 6e-14, ROOM, 6).ticks).toEqual(linearScale(340, 340, ROOM, 6).ticks);
    expect(linearScale(0, 1e-320, ROOM, 6).ticks).toEqual(linearScale(0, 0, ROOM, 6).ticks);
  });
  it('bears anything: few ticks, all finite, all places in its room', () => {
    const number = fc.oneof(fc.double(), fc.constantFrom(0, -0, 1e308, -1e308, 5e-324, Number.NaN));
    fc.assert(
      fc.property(number, number, number, fc.constantFrom('round', 'exact'), (low, high, value, ends) => {
        const scale = linearScale(low, high, ROOM, 6, ends);
        expect(scale.ticks.length).toBeLessThanOrEqual(10);
        for (const tick of [...scale.ticks, value]) {
          expect(scale.at(tick)).toBeGreaterThanOrEqual(0);
          expect(scale.at(tick)).toBeLessThanOrEqual(100);
        }
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});

it('steps are 1, 2 or 5 of a decade', () => {
  expect([0.7, 1, 1.1, 3, 6, 23].map(roundStep)).toEqual([1, 1, 2, 5, 10, 50]);
});
