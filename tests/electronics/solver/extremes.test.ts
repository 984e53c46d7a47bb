/** Absurd values: whatever a note may hold, the solver answers with finite numbers or a refusal, never with a throw. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { settleAmplifier } from '../../../server/electronics/solver/amplifier.ts';
import { findBreaks } from '../../../server/electronics/solver/breaks.ts';
import { linearise } from '../../../server/electronics/solver/linearise.ts';
import type { Element } from '../../../server/electronics/solver/netlist.ts';
import { perveanceFromDrop, rectifierDrop } from '../../../server/electronics/solver/rectifier-law.ts';
import { impedance, levels, logarithmicSweep, transfer } from '../../../server/electronics/solver/sweep.ts';
import {
  chargingResistance,
  openCircuitVoltage,
  resistanceFromRegulation,
  windingRegulation,
} from '../../../server/electronics/solver/transformer.ts';
import { amperes, farads, henries, hertz, ohms, ratio, volts } from '../../../server/units/si.ts';
import { battery, capacitor, resistor, valve } from './amplifiers.ts';

const any = fc.oneof(
  fc.double({ min: -320, max: 308, noNaN: true }).map((power) => 10 ** power),
  fc.double({ min: -3, max: 6, noNaN: true }).map((power) => 10 ** power),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, -0, 5e-324, 1e-320, 1e308, -1e308, 1e-12, 1e12),
);
const runs = { seed: 31, numRuns: 400 };

function expectFinite(value: unknown): void {
  if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
  else if (value instanceof Map) for (const each of value.values()) expectFinite(each);
  else if (value instanceof Float64Array) for (const each of value) expectFinite(each);
  else if (typeof value === 'object' && value !== null)
    for (const each of Object.values(value)) expectFinite(each);
}

describe('absurd values', () => {
  test('an amplifier of them', () => {
    fc.assert(
      fc.property(
        fc.array(any, { minLength: 14, maxLength: 14 }),
        ([
          a = 0,
          b = 0,
          c = 0,
          d = 0,
          e = 0,
          f = 0,
          g = 0,
          h = 0,
          i = 0,
          j = 0,
          k = 0,
          l = 0,
          m = 0,
          n = 0,
        ]) => {
          const elements: Element[] = [
            {
              kind: 'supply',
              name: 'HT',
              plus: 'B+',
              minus: 'gnd',
              connection: 'full-wave',
              law: { kind: 'valve', perveance: a },
              winding: volts(b),
              sourceResistance: ohms(c),
              mains: hertz(d),
              reservoir: farads(e),
            },
            resistor('Ra', 'B+', 'V1.a', f),
            resistor('Rk', 'V1.k', 'gnd', g),
            battery('bias', 'V1.g', h),
            valve('V1', '12AX7'),
            capacitor('Ck', 'V1.k', 'gnd', i),
            { kind: 'inductor', name: 'L', from: 'B+', to: 'x', inductance: henries(j), resistance: ohms(k) },
            { kind: 'current-source', name: 'I', from: 'x', to: 'gnd', current: amperes(l) },
            {
              kind: 'transformer',
              name: 'T',
              windings: [
                { start: 'x', end: 'y', turns: ratio(m), resistance: ohms(n) },
                { start: 's', end: 'gnd', turns: ratio(1) },
              ],
            },
            resistor('R', 'y', 'gnd', 1000),
          ];
          // The supply's numbers are mostly refused, so that the rest is also tried from a battery.
          const plain = [battery('HT', 'B+', b), ...elements.slice(1)];
          for (const netlist of [{ elements }, { elements: plain }]) {
            const point = settleAmplifier(netlist);
            expectFinite(point);
            if (!point.ok) continue;
            const signal = linearise(netlist, point.value);
            expectFinite(signal);
            if (!signal.ok) continue;
            const port = { plus: 'V1.a' };
            expectFinite(findBreaks(signal.value, { plus: 'x' }, port));
            expectFinite(impedance(signal.value, port, [hertz(Math.abs(d))]));
          }
        },
      ),
      runs,
    );
  });

  test('a filter of them', () => {
    fc.assert(
      fc.property(any, any, any, any, (r, c, l, f) => {
        const elements: Element[] = [
          resistor('R', 'in', 'a', r),
          { kind: 'inductor', name: 'L', from: 'a', to: 'out', inductance: henries(l) },
          capacitor('C', 'out', 'gnd', c),
        ];
        const response = transfer({ elements }, { plus: 'in' }, { plus: 'out' }, [hertz(f)]);
        expectFinite(response);
        if (response.ok) expectFinite(levels(response.value).filter((level) => level !== undefined));
        expectFinite(findBreaks({ elements }, { plus: 'in' }, { plus: 'out' }));
      }),
      runs,
    );
  });

  test('the small sums', () => {
    fc.assert(
      fc.property(any, any, any, any, (a, b, c, d) => {
        expectFinite(perveanceFromDrop(amperes(a), volts(b)));
        expectFinite(rectifierDrop({ kind: 'valve', perveance: a }, amperes(b)));
        expectFinite(logarithmicSweep(hertz(a), hertz(b), 5));
        expectFinite(
          chargingResistance({ secondary: ohms(a), primary: ohms(b), ratio: ratio(c), added: ohms(d) }),
        );
        expectFinite(resistanceFromRegulation(volts(a), volts(b), amperes(c)));
        expectFinite(windingRegulation(volts(a), volts(b)));
        expectFinite(openCircuitVoltage(volts(a), ratio(b)));
      }),
      runs,
    );
  });
});
