/**
 * Owns preferred values: which numbers parts are made in (IEC 60063), and those of before the standard, which are no
 * typing errors.
 */

/** Steps per decade. */
export const SERIES = ['E3', 'E6', 'E12', 'E24', 'E48', 'E96', 'E192'] as const;
export type Series = (typeof SERIES)[number];

/**
 * IEC 60063 E24. A table, because it departs from round(10^(n/24)) at eight places (2.7 3.0 3.3 3.6 3.9 4.3 4.7 8.2); E12, E6
 * and E3 are every second, fourth and eighth of it.
 */
const E24 = [
  10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
].map((tenths) => tenths / 10);

/** IEC 60063 E192: 10^(n/192) rounded to two decimals, but for 9.20, where rounding would give 9.19. */
const E192 = Array.from({ length: 192 }, (_, n) =>
  n === 185 ? 9.2 : Math.round(100 * 10 ** (n / 192)) / 100,
);

const every = (step: number, of: readonly number[]) => of.filter((_, n) => n % step === 0);

const TABLES: Readonly<Record<Series, readonly number[]>> = {
  E3: every(8, E24),
  E6: every(4, E24),
  E12: every(2, E24),
  E24,
  E48: every(4, E192),
  E96: every(2, E192),
  E192,
};

/** The series' values in one decade, from 1 to below 10. */
export function preferredValues(series: Series): readonly number[] {
  return TABLES[series];
}

/** Whether `value` (in any unit) is one of the series, in any decade. */
export function isPreferred(value: number, series: Series): boolean {
  const nearest = nearestPreferred(value, series);
  return nearest !== undefined && isSame(nearest, value);
}

/** The nearest by ratio; undefined for zero, negative and infinite values. */
export function nearestPreferred(value: number, series: Series): number | undefined {
  return nearest(value, around(value, series));
}

/** The least of the series that is above `value`. */
export function nextPreferredUp(value: number, series: Series): number | undefined {
  return around(value, series).find((each) => each > value && !isSame(each, value));
}

/** The greatest of the series that is below `value`. */
export function nextPreferredDown(value: number, series: Series): number | undefined {
  return around(value, series).findLast((each) => each < value && !isSame(each, value));
}

/** What was common before the standard: farads of capacitors, ohms of resistors and pots. Common practice, no source. */
const VINTAGE = {
  capacitor: [
    250e-12, 300e-12, 500e-12, 0.001e-6, 0.002e-6, 0.0025e-6, 0.003e-6, 0.004e-6, 0.005e-6, 0.006e-6,
    0.008e-6, 0.02e-6, 0.025e-6, 0.03e-6, 0.04e-6, 0.05e-6, 0.2e-6, 0.25e-6, 0.3e-6, 0.4e-6, 0.5e-6, 2e-6,
    2.5e-6, 4e-6, 5e-6, 8e-6, 16e-6, 20e-6, 25e-6, 30e-6, 32e-6, 40e-6, 50e-6, 60e-6, 64e-6, 80e-6, 250e-6,
    500e-6, 1000e-6,
  ],
  resistor: [25, 50, 250, 500, 2.5e3, 5e3, 25e3, 50e3, 200e3, 250e3, 400e3, 500e3, 2.5e6, 5e6],
} as const;

/** Whether the value is one that old parts carry; such a value is never a typing error. */
export function isVintage(value: number, of: keyof typeof VINTAGE): boolean {
  return VINTAGE[of].some((each) => isSame(each, value));
}

/** Whether a part of this value is made or was: `E24` and `E96` for resistors, `E24` for capacitors, and the vintage values. */
export function isUsualValue(value: number, of: keyof typeof VINTAGE): boolean {
  return (
    isPreferred(value, 'E24') || isVintage(value, of) || (of === 'resistor' && isPreferred(value, 'E96'))
  );
}

/** Electrolytics begin here; their tolerance is wide and more capacitance is the rule, less is not. */
const ELECTROLYTIC = 1e-6;
const MOST_LACKING = 1 / 7;

/**
 * What is bought today for an old value: 47 nF for 0.05 µF, 470 kΩ for 500 kΩ, by the nearest of E12; for 1 µF and more the
 * lowest of E6 that is not over a seventh less (10 µF for 8 µF, 22 µF for 25 µF). Common practice, no source.
 */
export function nearestModern(value: number, of: keyof typeof VINTAGE): number | undefined {
  if (of === 'capacitor' && value >= ELECTROLYTIC) {
    return around(value, 'E6').find((each) => each >= value * (1 - MOST_LACKING));
  }
  return nearestPreferred(value, 'E12');
}

/** The series' values of the value's decade, and two beyond each end, ascending. */
function around(value: number, series: Series): readonly number[] {
  if (!(value > 0) || !Number.isFinite(value)) return [];
  const table = TABLES[series];
  const floor = Math.floor(Math.log10(value));
  // The logarithm of 1000 may come out a hair under 3.
  const decade = scaled(1, floor + 1) <= value ? floor + 1 : floor;
  return [
    ...table.slice(-2).map((each) => scaled(each, decade - 1)),
    ...table.map((each) => scaled(each, decade)),
    ...table.slice(0, 2).map((each) => scaled(each, decade + 1)),
  ].filter((each) => each > 0 && Number.isFinite(each));
}

/** `4.7` at `-9` as the number that `4.7e-9` is, not a product that is off in the last digit. */
function scaled(mantissa: number, exponent: number): number {
  return Number(`${mantissa}e${exponent}`);
}

function nearest(value: number, candidates: readonly number[]): number | undefined {
  const distance = (each: number) => Math.abs(Math.log(each / value));
  return candidates.reduce<number | undefined>(
    (best, each) => (best === undefined || distance(each) < distance(best) ? each : best),
    undefined,
  );
}

function isSame(a: number, b: number): boolean {
  return Math.abs(a - b) <= 1e-6 * Math.abs(b);
}
