/** Owns dimensions: which unit a product or quotient of units has, so that volts over ohms are amperes and volts plus amperes refused. */
import type { Unit } from './si.ts';

/**
 * Exponents of volt, ampere and second, out of which every electrical unit here is made; decibels and degrees are kept
 * beside them because no electrical unit is made of them.
 */
export type Dimension = readonly [
  volt: number,
  ampere: number,
  second: number,
  decibel: number,
  degree: number,
];

const byUnit: Readonly<Record<Unit, Dimension>> = {
  '1': [0, 0, 0, 0, 0],
  V: [1, 0, 0, 0, 0],
  A: [0, 1, 0, 0, 0],
  Ohm: [1, -1, 0, 0, 0],
  S: [-1, 1, 0, 0, 0],
  W: [1, 1, 0, 0, 0],
  J: [1, 1, 1, 0, 0],
  s: [0, 0, 1, 0, 0],
  Hz: [0, 0, -1, 0, 0],
  F: [-1, 1, 1, 0, 0],
  H: [1, -1, 1, 0, 0],
  C: [0, 1, 1, 0, 0],
  dB: [0, 0, 0, 1, 0],
  degC: [0, 0, 0, 0, 1],
};

const inWords: Readonly<Record<Unit, string>> = {
  '1': 'a plain number',
  V: 'volts',
  A: 'amperes',
  Ohm: 'ohms',
  S: 'siemens',
  W: 'watts',
  J: 'joules',
  s: 'seconds',
  Hz: 'hertz',
  F: 'farads',
  H: 'henries',
  C: 'coulombs',
  dB: 'decibels',
  degC: 'degrees Celsius',
};

const units = Object.keys(byUnit) as Unit[];

export function dimensionOf(unit: Unit): Dimension {
  return byUnit[unit];
}

/** The unit that has exactly this dimension, if one has a name here. */
export function findUnit(dimension: Dimension): Unit | undefined {
  return units.find((unit) => isSameDimension(byUnit[unit], dimension));
}

export function isSameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((exponent, i) => exponent === b[i]);
}

export function isRatio(dimension: Dimension): boolean {
  return dimension.every((exponent) => exponent === 0);
}

export function timesDimension(a: Dimension, b: Dimension): Dimension {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4]];
}

export function powerOfDimension(a: Dimension, power: number): Dimension {
  const [volt, ampere, second, decibel, degree] = a;
  // Adding zero turns the −0 that 0 × −1 leaves into 0.
  return [volt * power + 0, ampere * power + 0, second * power + 0, decibel * power + 0, degree * power + 0];
}

/** The dimension in a technician's words: `volts`, or the product that has no name (`V²·A`). */
export function describeDimension(dimension: Dimension): string {
  const unit = findUnit(dimension);
  if (unit !== undefined) return inWords[unit];
  const symbols = ['V', 'A', 's', 'dB', '\u00b0C'];
  return dimension
    .flatMap((exponent, i) => {
      if (exponent === 0) return [];
      return exponent === 1 ? [symbols[i] ?? ''] : [`${symbols[i]}^${exponent}`];
    })
    .join('\u00b7');
}
