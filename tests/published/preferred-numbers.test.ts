/** Facts of IEC 60063 (preferred numbers for resistors and capacitors), as encyclopaedias and makers quote it, and as computed from its rule. */
import { describe, expect, it } from 'vitest';
import { isPreferred, preferredValues, type Series } from '../../server/catalogue/preferred-values.ts';

const decade = (series: Series) => [...preferredValues(series)];
const within = (inner: Series, outer: Series) => decade(inner).every((value) => isPreferred(value, outer));

describe('IEC 60063', () => {
  // Quoted list of the standard.
  it('E24 as printed', () => {
    expect(decade('E24')).toEqual([
      1, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2, 2.2, 2.4, 2.7, 3, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5,
      8.2, 9.1,
    ]);
  });
  it('E12 as printed', () => {
    expect(decade('E12')).toEqual([1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2]);
  });
  it('E6 and E3 as printed', () => {
    expect(decade('E6')).toEqual([1, 1.5, 2.2, 3.3, 4.7, 6.8]);
    expect(decade('E3')).toEqual([1, 2.2, 4.7]);
  });
  // Computed: 10^(n/24) rounded to two digits, against the standard's list.
  it('E24 departs from plain rounding at eight places', () => {
    const departures = decade('E24').flatMap((value, n) => {
      const rounded = Math.round(10 * 10 ** (n / 24)) / 10;
      return rounded === value ? [] : [`${rounded} → ${value}`];
    });
    expect(departures).toEqual([
      '2.6 → 2.7',
      '2.9 → 3',
      '3.2 → 3.3',
      '3.5 → 3.6',
      '3.8 → 3.9',
      '4.2 → 4.3',
      '4.6 → 4.7',
      '8.3 → 8.2',
    ]);
  });
  // Quoted: E12 departs at these five.
  it('E12 departs from plain rounding at 2.7, 3.3, 3.9, 4.7 and 8.2', () => {
    const departures = decade('E12').filter((value, n) => Math.round(10 * 10 ** (n / 12)) / 10 !== value);
    expect(departures).toEqual([2.7, 3.3, 3.9, 4.7, 8.2]);
  });
  // Computed 9.19; the exception from memory, checked against the rule.
  it('E192 is plain rounding but for 9.20', () => {
    const departures = decade('E192').flatMap((value, n) => {
      const rounded = Math.round(100 * 10 ** (n / 192)) / 100;
      return rounded === value ? [] : [`${n}: ${rounded} → ${value}`];
    });
    expect(departures).toEqual(['185: 9.19 → 9.2']);
  });
  // From the rule of the series.
  it('E48 is part of E96, E96 of E192', () => {
    expect(within('E48', 'E96')).toBe(true);
    expect(within('E96', 'E192')).toBe(true);
  });
  it('E3 is part of E6, E6 of E12, E12 of E24', () => {
    expect(within('E3', 'E6')).toBe(true);
    expect(within('E6', 'E12')).toBe(true);
    expect(within('E12', 'E24')).toBe(true);
  });
  it('E24 is not part of E48', () => {
    expect(within('E24', 'E48')).toBe(false);
    expect(isPreferred(4700, 'E48')).toBe(false);
  });
  // Quoted values of the standard's E96 list.
  it.each([1.02, 1.47, 2.21, 3.32, 4.75, 4.99, 6.81, 8.25, 9.09, 9.31, 9.76])('%d is in E96', (value) => {
    expect(isPreferred(value, 'E96')).toBe(true);
  });
});
