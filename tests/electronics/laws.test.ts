/**
 * Laws that hold for every calculation, whatever it computes. Each is tried on the example in its doc block with other
 * numbers put in, so that a new calculation is under these laws from its first day.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../server/electronics/result.ts';
import { CONSTRUCTORS, calculations, exampleOf, numbersOf } from './calculations.ts';

const named = calculations.map((one) => [one.name, one] as const);
const UNIT_NAMES = Object.keys(CONSTRUCTORS).filter((name) => name !== 'quantity');

/** Numbers as a slip of the pen makes them: nothing, negative, a thousand-fold, absurd. */
const slip = fc.oneof(
  fc.constantFrom(0, -0, 1, -1, 1e-12, 1e12, 1e-300, 1e300, -1e300, 5e-324, Number.MAX_VALUE),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.double({ min: 1e-3, max: 1e3, noNaN: true }),
);

describe('no number breaks it: an answer is finite, or it is a refusal that says why', () => {
  test.each(named)('%s', (_, one) => {
    const example = exampleOf(one);
    const numbers = fc.array(slip, { minLength: 8, maxLength: 8 });
    fc.assert(
      fc.property(numbers, (values) => {
        let next = 0;
        const draw = () => values[next++ % values.length] ?? 0;
        const result = example(Object.fromEntries(UNIT_NAMES.map((name) => [name, draw]))) as Result<unknown>;
        if (result.ok) {
          for (const value of numbersOf(result.value).values()) expect(value).toSatisfy(Number.isFinite);
        } else {
          expect(result.reason).toMatch(/^[a-z].{4,}[^.]$/i);
        }
      }),
      { numRuns: 60, seed: 1949 },
    );
  });
});

/** What is never below nothing. A voltage, a current, a ratio, a temperature may be. */
const UNSIGNED = new Set(['ohms', 'farads', 'henries', 'hertz', 'siemens', 'seconds', 'watts', 'joules']);

describe('a resistance, capacitance, frequency, power or time below zero is refused, whichever of the inputs it is', () => {
  test.each(named)('%s', (_, one) => {
    const example = exampleOf(one);
    /** The example with the input of this number turned negative; how many inputs could be; and the answer. */
    const withNegative = (turned: number): { readonly inputs: number; readonly result: Result<unknown> } => {
      let inputs = 0;
      const constructors = UNIT_NAMES.filter((unit) => UNSIGNED.has(unit)).map((unit) => [
        unit,
        (value: number) => (inputs++ === turned ? -Math.abs(value) - 1e-15 : value),
      ]);
      const result = example(Object.fromEntries(constructors)) as Result<unknown>;
      return { inputs, result };
    };
    const { inputs } = withNegative(-1);
    for (let turned = 0; turned < inputs; turned += 1) {
      expect(withNegative(turned).result, `input ${turned + 1} negative`).toHaveProperty('ok', false);
    }
  });
});

describe('two and a half valves, or none, are refused', () => {
  const counted = named.filter(([, one]) => /(valves|capacitors): \d/.test(one.call));

  test('some calculations count', () => {
    expect(counted.map(([name]) => name)).toEqual(
      expect.arrayContaining(['meanCathodeCurrent', 'heaterCurrent']),
    );
  });

  test.each(counted)('%s', (_, one) => {
    for (const count of ['2.5', '0', '-1']) {
      const call = one.call.replace(/(valves|capacitors): \d/, `$1: ${count}`);
      expect(exampleOf({ ...one, call })(), count).toHaveProperty('ok', false);
    }
  });
});

/** Exponents of volt, ampere and second in each unit. */
const DIMENSIONS: Readonly<Record<string, readonly [number, number, number]>> = {
  volts: [1, 0, 0],
  amperes: [0, 1, 0],
  ohms: [1, -1, 0],
  siemens: [-1, 1, 0],
  farads: [-1, 1, 1],
  henries: [1, -1, 1],
  hertz: [0, 0, -1],
  watts: [1, 1, 0],
  seconds: [0, 0, 1],
  joules: [1, 1, 1],
  coulombs: [0, 1, 1],
  decibels: [0, 0, 0],
  ratio: [0, 0, 0],
  celsius: [0, 0, 0],
};
const BY_SYMBOL: Readonly<Record<string, string>> = {
  V: 'volts',
  A: 'amperes',
  Ω: 'ohms',
  S: 'siemens',
  F: 'farads',
  H: 'henries',
  Hz: 'hertz',
  W: 'watts',
  s: 'seconds',
  J: 'joules',
  C: 'coulombs',
  dB: 'decibels',
  '1': 'ratio',
  '°C': 'celsius',
};
/** Their examples hold a number with a dimension that no constructor marks. */
const UNMARKED: Readonly<Record<string, string>> = {
  selfBias: 'the law of the valve in its example is in volts and amperes',
  rectifierDrop: 'a perveance in A/V^1.5 is a bare number',
  rectifierCurrent: 'a perveance in A/V^1.5 is a bare number',
  movingCoilResistance: 'ohms for each volt are given as ohms',
};

describe('its formula has the dimensions of its answer: other sizes of volt, ampere and second change nothing', () => {
  const kinds = named.filter(([name]) => UNMARKED[name] === undefined);

  test('the exceptions are calculations that exist', () => {
    expect(Object.keys(UNMARKED).filter((name) => !calculations.some((one) => one.name === name))).toEqual(
      [],
    );
  });

  test.each(kinds)('%s', (_, one) => {
    const example = exampleOf(one);
    const scale = fc.double({ min: 0.2, max: 1, noNaN: true });
    const plain = example() as Result<unknown>;
    if (!plain.ok) throw new Error(plain.reason);
    fc.assert(
      fc.property(scale, scale, scale, (volt, ampere, second) => {
        const factorOf = (unit: string): number => {
          const [v, a, s] = DIMENSIONS[unit] ?? [Number.NaN, 0, 0];
          return volt ** v * ampere ** a * second ** s;
        };
        const scaled = example(
          Object.fromEntries(UNIT_NAMES.map((unit) => [unit, (value: number) => value * factorOf(unit)])),
        ) as Result<unknown>;
        if (!scaled.ok) throw new Error(scaled.reason);
        const answers = numbersOf(scaled.value);
        for (const [field, value] of numbersOf(plain.value)) {
          const expected = value * factorOf(BY_SYMBOL[one.units.get(field) ?? ''] ?? '');
          expect(Math.abs((answers.get(field) ?? Number.NaN) - expected)).toBeLessThanOrEqual(
            1e-9 * Math.abs(expected),
          );
        }
      }),
      { numRuns: 10, seed: 1960 },
    );
  });
});
