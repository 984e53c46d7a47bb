import { describe, expect, it } from 'vitest';
import { nextPowerRating, nextVoltageRating } from '../../server/catalogue/standard-ratings.ts';

describe('the next rating that can be bought', () => {
  it.each([
    [12, 16],
    [16, 16],
    [16.1, 25],
    [321, 350],
    [0.1 + 0.2 + 449.7, 450],
    [451, 500],
    [501, 630],
    [631, 1000],
    [1000, 1000],
  ])('a capacitor that must stand %d V: %d V', (need, rating) => {
    expect(nextVoltageRating(need)).toBe(rating);
  });
  it.each([
    [0.1, 0.25],
    [0.3, 0.5],
    [0.55, 0.6],
    [0.7, 1],
    [3.5, 5],
    [10, 10],
  ])('a resistor that must stand %d W: %d W', (need, rating) => {
    expect(nextPowerRating(need)).toBe(rating);
  });
  it('knows none beyond the last', () => {
    expect(nextVoltageRating(1001)).toBeUndefined();
    expect(nextPowerRating(10.5)).toBeUndefined();
    expect(nextVoltageRating(Number.NaN)).toBeUndefined();
  });
});
