/**
 * Checks against IEC 60062 (marking codes for resistors and capacitors) and related notation.
 * Each row names its source. Where the standard itself was not at hand the row says "from memory, unverified".
 */
import { describe, expect, test } from 'vitest';
import type { Expectation } from '../../server/units/notation.ts';
import { readValue } from '../../server/units/scan.ts';
import { findToleranceByLetter } from '../../server/units/tolerance.ts';
import { writeQuantity } from '../../server/units/write.ts';

const resistor: Expectation = { partClass: 'resistor' };
const capacitor: Expectation = { partClass: 'capacitor' };

function readAs(text: string, expected: Expectation) {
  const written = readValue(text, expected);
  return written.kind === 'value' ? written.value : undefined;
}

describe('letter-and-digit codes', () => {
  test.each([
    // IEC 60062:2016 with amendment 1:2019, resistance values.
    ['R47', 0.47, 'R47'],
    ['4R7', 4.7, '4R7'],
    ['470R', 470, '470R'],
    ['4K7', 4.7e3, '4k7'],
    ['47K', 47e3, '47k'],
    ['47K3', 47.3e3, '47k3'],
    ['470K', 470e3, '470k'],
    ['4M7', 4.7e6, '4M7'],
  ])('%s is %d ohms', (code, ohms, written) => {
    expect(readAs(code, resistor)?.quantity).toEqual({ value: ohms, unit: 'Ohm' });
    expect(writeQuantity({ value: ohms, unit: 'Ohm' }, { style: 'code' })).toBe(written);
  });

  test.each([
    // IEC 60062:2016, capacitance values.
    ['10p', 10e-12],
    ['4n7', 4.7e-9],
    ['1\u00b50', 1e-6],
    // From memory, unverified.
    ['p33', 0.33e-12],
    ['3p3', 3.3e-12],
    ['n47', 0.47e-9],
    ['330n', 330e-9],
  ])('%s is %d farads', (code, farads) => {
    const read = readAs(code, capacitor)?.quantity;
    expect(read?.unit).toBe('F');
    expect((read?.value ?? 0) / farads).toBeCloseTo(1, 14);
  });

  test.each([
    // IEC 60062: two figures and the number of noughts in picofarads (from memory, unverified); K is +-10 %, J +-5 %.
    ['104K', 100e-9, 0.1],
    ['223J', 22e-9, 0.05],
    ['471K', 470e-12, 0.1],
  ])('%s is a capacitor of %d farads', (code, farads, tolerance) => {
    const read = readAs(code, capacitor);
    expect((read?.quantity.value ?? 0) / farads).toBeCloseTo(1, 14);
    expect(read?.tolerance?.plus).toBe(tolerance);
  });

  test('K is a multiplier first and a tolerance behind one: 4K7K is 4.7 k\u03a9 within 10 % (IEC 60062)', () => {
    expect(readAs('4K7K', resistor)).toMatchObject({
      quantity: { value: 4700 },
      tolerance: { minus: 0.1, plus: 0.1 },
    });
    expect(readAs('470K', resistor)?.tolerance).toBeUndefined();
  });
});

describe('tolerance letters', () => {
  test.each([
    // IEC 60062:2016.
    ['F', 1, 1],
    ['K', 10, 10],
    // From memory, unverified.
    ['E', 0.005, 0.005],
    ['L', 0.01, 0.01],
    ['P', 0.02, 0.02],
    ['W', 0.05, 0.05],
    ['B', 0.1, 0.1],
    ['C', 0.25, 0.25],
    ['D', 0.5, 0.5],
    ['G', 2, 2],
    ['H', 3, 3],
    ['J', 5, 5],
    ['M', 20, 20],
    ['N', 30, 30],
    ['Q', 10, 30],
    ['T', 10, 50],
    ['S', 20, 50],
    ['Z', 20, 80],
  ])('%s is -%d % and +%d %', (letter, minus, plus) => {
    const tolerance = findToleranceByLetter(letter);
    expect((tolerance?.minus ?? 0) * 100).toBeCloseTo(minus, 12);
    expect((tolerance?.plus ?? 0) * 100).toBeCloseTo(plus, 12);
  });

  test('a letter without a tolerance has none', () => {
    for (const letter of ['A', 'R', 'X', 'f', '']) expect(findToleranceByLetter(letter)).toBeUndefined();
  });
});

describe('characters', () => {
  test('U+2126 OHM SIGN and U+03A9 are one (Unicode canonical equivalence); U+03A9 is written', () => {
    expect('\u2126'.normalize('NFC')).toBe('\u03a9');
    expect(readAs('47\u2126', resistor)?.quantity).toEqual(readAs('47\u03a9', resistor)?.quantity);
    expect(writeQuantity({ value: 47, unit: 'Ohm' })).toContain('\u03a9');
  });

  test('U+00B5 and U+03BC are one only to NFKC, so both are read and U+00B5 written', () => {
    expect('\u00b5'.normalize('NFC')).toBe('\u00b5');
    expect('\u00b5'.normalize('NFKC')).toBe('\u03bc');
    expect(readAs('1\u00b5F', capacitor)?.quantity).toEqual(readAs('1\u03bcF', capacitor)?.quantity);
    expect(writeQuantity({ value: 1e-6, unit: 'F' })).toContain('\u00b5');
  });

  test('a space stands between number and symbol (SI brochure, 9th edition, 2019; from memory, unverified)', () => {
    expect(writeQuantity({ value: 4700, unit: 'Ohm' })).toMatch(/^4\.7\sk\u03a9$/);
    expect(writeQuantity({ value: 25, unit: 'degC' })).toMatch(/^25\s\u00b0C$/);
  });
});
