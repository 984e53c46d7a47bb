import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  isPreferred,
  isUsualValue,
  isVintage,
  nearestModern,
  nearestPreferred,
  nextPreferredDown,
  nextPreferredUp,
  preferredValues,
  SERIES,
} from '../../server/catalogue/preferred-values.ts';

describe('preferred values', () => {
  it.each([
    [4700, 'E12', true],
    [4.7e-9, 'E6', true],
    [0.00022, 'E3', true],
    [5100, 'E12', false],
    [5100, 'E24', true],
    [4990, 'E96', true],
    [4700, 'E96', false],
    [0, 'E24', false],
    [-100, 'E24', false],
    [Number.NaN, 'E24', false],
  ] as const)('%d in %s: %s', (value, series, expected) => {
    expect(isPreferred(value, series)).toBe(expected);
  });
  it('the nearest, the next above and the next below', () => {
    expect(nearestPreferred(172.9e3, 'E12')).toBe(180e3);
    expect(nearestPreferred(9.6, 'E24')).toBe(10);
    expect(nextPreferredUp(100e3, 'E12')).toBe(120e3);
    expect(nextPreferredDown(100e3, 'E12')).toBe(82e3);
    expect(nextPreferredUp(0.95e-6, 'E6')).toBe(1e-6);
    expect(nearestPreferred(0, 'E12')).toBeUndefined();
  });
  it.each([1e3, 999.9999999, 1000.0000001, 1e6, 1e-9, 1e-12])('around %d, the edge of a decade', (value) => {
    for (const series of SERIES) {
      expect(isPreferred(value, series)).toBe(true);
      const [second] = preferredValues(series).slice(1);
      const last = preferredValues(series).at(-1) ?? 0;
      expect((nextPreferredUp(value, series) ?? 0) / value).toBeCloseTo(second ?? 0, 6);
      expect((nextPreferredDown(value, series) ?? 0) / value).toBeCloseTo(last / 10, 6);
    }
  });
  it.each(SERIES)('%s: above and below bracket any value, and the nearest is one of the series', (series) => {
    fc.assert(
      fc.property(fc.double({ min: 1e-12, max: 1e9, noNaN: true }), (value) => {
        const up = nextPreferredUp(value, series) ?? 0;
        const down = nextPreferredDown(value, series) ?? Number.POSITIVE_INFINITY;
        const nearest = nearestPreferred(value, series) ?? 0;
        expect(up).toBeGreaterThan(value);
        expect(down).toBeLessThan(value);
        expect(isPreferred(nearest, series)).toBe(true);
        expect(nearest).toBeGreaterThanOrEqual(down);
        expect(nearest).toBeLessThanOrEqual(up);
        expect(isPreferred(up, series) && isPreferred(down, series)).toBe(true);
      }),
      { seed: 2, numRuns: 100 },
    );
  });
  it('has as many values as its name says', () => {
    for (const series of SERIES) expect(preferredValues(series)).toHaveLength(Number(series.slice(1)));
  });
});

describe('values from before the standard are no mistakes', () => {
  it.each([0.02e-6, 0.025e-6, 0.05e-6, 0.25e-6, 0.5e-6, 8e-6, 16e-6, 32e-6, 50e-6, 250e-12, 500e-12])(
    'a capacitor of %d F',
    (value) => {
      expect(isVintage(value, 'capacitor')).toBe(true);
      expect(isUsualValue(value, 'capacitor')).toBe(true);
    },
  );
  it.each([25e3, 50e3, 250e3, 500e3])('a resistor or pot of %d Ω', (value) => {
    expect(isUsualValue(value, 'resistor')).toBe(true);
  });
  it('but 23 µF and 123.4 kΩ are uncommon', () => {
    expect(isUsualValue(23e-6, 'capacitor')).toBe(false);
    expect(isUsualValue(123.4e3, 'resistor')).toBe(false);
  });
  it.each([
    [0.02e-6, 0.022e-6],
    [0.05e-6, 0.047e-6],
    [250e-12, 270e-12],
    [50e-6, 47e-6],
    [25e-6, 22e-6],
    [8e-6, 10e-6],
    [16e-6, 15e-6],
    [32e-6, 33e-6],
  ])('a capacitor of %d F is bought today as %d F', (old, modern) => {
    expect(nearestModern(old, 'capacitor')).toBeCloseTo(modern, 15);
  });
  it('500 kΩ is bought today as 470 kΩ', () => {
    expect(nearestModern(500e3, 'resistor')).toBe(470e3);
  });
});
