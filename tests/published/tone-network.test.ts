/**
 * Tone networks held against the literature.
 *
 * Circuit A, its values and its third-order transfer function: D. T. Yeh and J. O. Smith, Proc. DAFx-06 (Digital Audio
 * Effects), Montreal, September 2006; circuit and values transcribed, coefficient formulas from memory.
 * The tables in decibels: computed by an independent nodal solver, printed to 0.01 dB; tolerance 0.05 dB.
 */
import { describe, expect, test } from 'vitest';
import type { Element, Netlist } from '../../server/electronics/solver/netlist.ts';
import { potentiometer } from '../../server/electronics/solver/netlist.ts';
import { levels, transfer } from '../../server/electronics/solver/sweep.ts';
import { farads, hertz, ohms } from '../../server/units/si.ts';
import { DRAWN, publishedToneGain } from './tone-network-formula.ts';

const { r1: R1, r2: R2, r3: R3, r4: R4, c1: C1, c2: C2, c3: C3 } = DRAWN;

interface Around {
  readonly source: number;
  readonly load?: number;
}

const resistor = (name: string, from: string, to: string, value: number): Element => ({
  kind: 'resistor',
  name,
  from,
  to,
  resistance: ohms(value),
});

const capacitor = (name: string, from: string, to: string, value: number): Element => ({
  kind: 'capacitor',
  name,
  from,
  to,
  capacitance: farads(value),
});

function arms(name: string, top: string, wiper: string, bottom: string, track: number, position: number) {
  const result = potentiometer(name, { top, wiper, bottom }, ohms(track), position);
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

function surroundings({ source, load }: Around): Element[] {
  const sourceResistance = resistor('Rsource', 'source', 'in', source);
  return load === undefined ? [sourceResistance] : [sourceResistance, resistor('Rload', 'out', 'gnd', load)];
}

/** C3 on the wiper of the middle control. */
function circuitA(t: number, m: number, l: number, around: Around = { source: 0 }): Netlist {
  return {
    elements: [
      ...surroundings(around),
      capacitor('C1', 'in', 'treble-top', C1),
      ...arms('treble', 'treble-top', 'out', 'bass-top', R1, t),
      resistor('slope', 'in', 'x', R4),
      capacitor('C2', 'x', 'bass-top', C2),
      resistor('bass', 'bass-top', 'middle-top', l * R2),
      capacitor('C3', 'x', 'middle-wiper', C3),
      ...arms('middle', 'middle-top', 'middle-wiper', 'gnd', R3, m),
    ],
  };
}

/** C3 on the top of the middle control, which is a rheostat to ground. */
function circuitB(setting: number): Netlist {
  return {
    elements: [
      ...surroundings({ source: 38.5e3, load: 1e6 }),
      capacitor('C1', 'in', 'treble-top', 250e-12),
      ...arms('treble', 'treble-top', 'out', 'bass-top', 250e3, setting),
      resistor('slope', 'in', 'x', 100e3),
      capacitor('C2', 'x', 'bass-top', 100e-9),
      resistor('bass', 'bass-top', 'middle-top', setting * 250e3),
      capacitor('C3', 'x', 'middle-top', 47e-9),
      resistor('middle', 'middle-top', 'gnd', setting * 10e3),
    ],
  };
}

const FREQUENCIES = [20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000].map(hertz);

function respond(netlist: Netlist) {
  const response = transfer(netlist, { plus: 'source' }, { plus: 'out' }, FREQUENCIES);
  if (!response.ok) throw new Error(response.reason);
  return response.value;
}

// biome-ignore format: one row a setting, as the table is printed
const TABLE: readonly [t: number, m: number, l: number, around: Around, dB: readonly number[]][] = [
  [0.5, 0.5, 0.5, { source: 0 }, [-2.46, -1.64, -2.80, -5.89, -11.51, -11.75, -8.28, -5.29, -4.59]],
  [1, 1, 1, { source: 0 }, [-0.95, -1.18, -2.85, -6.04, -9.05, -7.09, -3.61, -0.87, -0.24]],
  [0, 0, 0, { source: 0 }, [-24.35, -18.10, -15.48, -14.67, -15.65, -18.24, -22.08, -28.34, -33.91]],
  [1, 0, 0, { source: 0 }, [-23.34, -17.10, -14.51, -13.79, -14.17, -10.48, -4.94, -1.17, -0.32]],
  [0, 0, 1, { source: 0 }, [-1.09, -1.03, -2.12, -4.96, -11.23, -16.56, -21.57, -28.25, -33.88]],
  [0, 1, 0, { source: 0 }, [-18.63, -13.09, -11.10, -10.41, -10.15, -9.98, -9.66, -9.22, -9.09]],
  [0.7, 0.3, 0.2, { source: 0 }, [-6.50, -3.50, -3.72, -6.26, -13.02, -12.40, -7.20, -3.66, -2.88]],
  [0.5, 0.5, 0.5, { source: 615, load: 1e6 }, [-5.05, -3.36, -4.24, -7.16, -12.66, -12.83, -9.23, -6.03, -5.26]],
  [0.5, 0.5, 0.5, { source: 38_500, load: 1e6 }, [-5.72, -4.71, -6.39, -10.21, -16.30, -16.64, -13.22, -10.28, -9.61]],
];

describe('tone network with C3 on the wiper of the middle control', () => {
  test.each(TABLE)('t %d m %d l %d, %o: within 0.05 dB of the table', (t, m, l, around, expected) => {
    const computed = levels(respond(circuitA(t, m, l, around)));
    expected.forEach((level, i) => {
      expect(Math.abs((computed[i] ?? Number.NaN) - level)).toBeLessThanOrEqual(0.05);
    });
  });

  test('agrees with the published third-order transfer function to nine figures, end stops included', () => {
    for (const t of [0, 0.1, 0.5, 1]) {
      for (const m of [0, 0.3, 0.5, 1]) {
        for (const l of [0, 0.2, 0.5, 1]) {
          const computed = respond(circuitA(t, m, l));
          FREQUENCIES.forEach((frequency, i) => {
            const modulus = Math.hypot(computed.real[i] ?? 0, computed.imaginary[i] ?? 0);
            const ratio = modulus / publishedToneGain(DRAWN, [t, m, l], frequency);
            expect(Math.abs(ratio - 1), `t ${t} m ${m} l ${l} at ${frequency} Hz`).toBeLessThan(1e-9);
          });
        }
      }
    }
  });
});

describe('tone network with C3 on the top of the middle control', () => {
  // biome-ignore format: one row a setting
  const rows: readonly [number, readonly number[]][] = [
    [0.5, [-9.70, -11.26, -14.85, -20.73, -25.44, -18.74, -13.71, -10.55, -9.86]],
    [1, [-7.90, -10.79, -15.52, -21.66, -19.61, -13.30, -8.33, -4.76, -3.91]],
  ];

  test.each(rows)('all controls at %d: within 0.05 dB of the table', (setting, expected) => {
    const computed = levels(respond(circuitB(setting)));
    expected.forEach((level, i) => {
      expect(Math.abs((computed[i] ?? Number.NaN) - level)).toBeLessThanOrEqual(0.05);
    });
  });

  test('all controls at 0: exactly nothing comes out, and nothing has no level', () => {
    const response = respond(circuitB(0));
    expect([...response.real, ...response.imaginary].every((part) => part === 0)).toBe(true);
    expect(levels(response).every((level) => level === undefined)).toBe(true);
  });
});
