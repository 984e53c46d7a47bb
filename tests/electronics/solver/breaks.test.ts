/** Poles and zeros: against worked examples, against the sweep they must reproduce, and where they are refused. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../../server/electronics/result.ts';
import { type Break, findBreaks } from '../../../server/electronics/solver/breaks.ts';
import type { Element, Netlist } from '../../../server/electronics/solver/netlist.ts';
import { findRoots } from '../../../server/electronics/solver/polynomial.ts';
import { transfer } from '../../../server/electronics/solver/sweep.ts';
import { henries, hertz, ohms, siemens } from '../../../server/units/si.ts';
import { capacitor, resistor } from './amplifiers.ts';
import { ladder } from './by-mathjs.ts';

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const breaksOf = (elements: readonly Element[], output = 'out') =>
  of(findBreaks({ elements }, { plus: 'in' }, { plus: output }));
const frequencies = (breaks: readonly Break[]): number[] => breaks.map(({ frequency }) => frequency);

describe('worked examples (computed by the handbook formulas)', () => {
  test('cathode bypass, µ 100, ra 62.5 kΩ, 100 kΩ ∥ 1 MΩ, 1.5 kΩ, 25 µF: zero 4.244 Hz, pole 8.435 Hz', () => {
    const { poles, zeros } = breaksOf([
      {
        kind: 'linear-valve',
        name: 'V1',
        anode: 'out',
        grid: 'in',
        cathode: 'k',
        transconductance: siemens(100 / 62.5e3),
        anodeResistance: ohms(62.5e3),
      },
      resistor('Ra', 'out', 'gnd', 100e3),
      resistor('Rl', 'out', 'gnd', 1e6),
      resistor('Rk', 'k', 'gnd', 1500),
      capacitor('Ck', 'k', 'gnd', 25e-6),
    ]);
    expect(frequencies(zeros)[0]).toBeCloseTo(4.244, 3);
    expect(frequencies(poles)[0]).toBeCloseTo(8.435, 3);
  });

  test('coupling, 22 nF into 1 MΩ from 38.46 kΩ: zero at nothing, pole 6.966 Hz', () => {
    const { poles, zeros } = breaksOf([
      resistor('Rs', 'in', 'a', 1 / (1 / 100e3 + 1 / 62.5e3)),
      capacitor('C', 'a', 'out', 22e-9),
      resistor('Rg', 'out', 'gnd', 1e6),
    ]);
    expect(zeros).toEqual([{ real: 0, imaginary: 0, frequency: 0 }]);
    expect(frequencies(poles)[0]).toBeCloseTo(6.966, 3);
  });

  test('47 kΩ and 470 pF across 38.46 kΩ ∥ 1 MΩ: pole 4029.5 Hz, zero 7204.8 Hz', () => {
    const { poles, zeros } = breaksOf([
      resistor('Rs', 'in', 'out', 1 / (1 / 100e3 + 1 / 62.5e3)),
      resistor('Rl', 'out', 'gnd', 1e6),
      resistor('R', 'out', 'x', 47e3),
      capacitor('C', 'x', 'gnd', 470e-12),
    ]);
    expect(frequencies(poles)[0]).toBeCloseTo(4029.5, 1);
    expect(frequencies(zeros)[0]).toBeCloseTo(7204.8, 1);
  });

  test('bright capacitor, 1 MΩ at a tenth, 120 pF: zero 1473.7 Hz, pole 14 737 Hz; with 150 kΩ in series 1263 and 5526 Hz', () => {
    const pot = [resistor('Rt', 'in', 'out', 900e3), resistor('Rb', 'out', 'gnd', 100e3)];
    const plain = breaksOf([...pot, capacitor('C', 'in', 'out', 120e-12)]);
    expect(frequencies(plain.zeros)[0]).toBeCloseTo(1473.7, 1);
    expect((frequencies(plain.poles)[0] ?? 0) / 14_737).toBeCloseTo(1, 4);
    const tamed = breaksOf([...pot, resistor('Rs', 'in', 'x', 150e3), capacitor('C', 'x', 'out', 120e-12)]);
    expect((frequencies(tamed.zeros)[0] ?? 0) / 1263).toBeCloseTo(1, 3);
    expect((frequencies(tamed.poles)[0] ?? 0) / 5526).toBeCloseTo(1, 3);
  });

  test('choke and capacitor, 10 H and 47 µF: one complex pair at 7.34 Hz, its quality R·√(C/L)', () => {
    const { poles, zeros } = breaksOf([
      { kind: 'inductor', name: 'L', from: 'in', to: 'out', inductance: henries(10) },
      capacitor('C', 'out', 'gnd', 47e-6),
      resistor('R', 'out', 'gnd', 5000),
    ]);
    expect(zeros).toEqual([]);
    expect(poles.length).toBe(2);
    expect(poles[0]?.frequency).toBeCloseTo(7.34, 2);
    expect(poles[0]?.quality).toBeCloseTo(5000 * Math.sqrt(47e-6 / 10), 6);
    expect(poles[0]?.imaginary).toBe(-(poles[1]?.imaginary ?? 0));
  });
});

describe('laws', () => {
  test('poles, zeros and the constant give back the sweep', () => {
    const value = fc.double({ min: -1.5, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 12, maxLength: 12 }), (sizes) => {
        const size = (i: number): number => 10 ** (sizes[i] ?? 0);
        const netlist: Netlist = {
          elements: [
            resistor('R1', 'in', 'a', 56e3 * size(0)),
            capacitor('C1', 'in', 't', 250e-12 * size(1)),
            resistor('R2', 't', 'out', 125e3 * size(2)),
            resistor('R3', 'out', 'b', 125e3 * size(3)),
            capacitor('C2', 'a', 'b', 22e-9 * size(4)),
            resistor('R4', 'b', 'm', 500e3 * size(5)),
            capacitor('C3', 'a', 'm', 22e-9 * size(6)),
            resistor('R5', 'm', 'gnd', 12e3 * size(7)),
            capacitor('C4', 'out', 'g', 100e-9 * size(8)),
            resistor('R6', 'g', 'gnd', 1e6 * size(9)),
            {
              kind: 'inductor',
              name: 'L1',
              from: 'm',
              to: 'x',
              inductance: henries(10 * size(10)),
              resistance: ohms(250),
            },
            resistor('R7', 'x', 'gnd', 10e3 * size(11)),
          ],
        };
        const { poles, zeros, constant } = of(findBreaks(netlist, { plus: 'in' }, { plus: 'g' }));
        const probes = [3, 30, 300, 3000, 30_000].map(hertz);
        const swept = of(transfer(netlist, { plus: 'in' }, { plus: 'g' }, probes));
        probes.forEach((frequency, i) => {
          const omega = 2 * Math.PI * frequency;
          const product = (breaks: readonly Break[]): number =>
            breaks.reduce((all, { real, imaginary }) => all * Math.hypot(real, omega - imaginary), 1);
          const modulus = Math.abs(constant) * (product(zeros) / product(poles));
          expect(modulus / Math.hypot(swept.real[i] ?? 0, swept.imaginary[i] ?? 0)).toBeCloseTo(1, 6);
        });
        // Nothing in it amplifies, so that everything dies away.
        expect(poles.every(({ real }) => real < 0)).toBe(true);
      }),
      { seed: 5, numRuns: 60 },
    );
  });

  test('a capacitor that the output cannot see leaves no trace', () => {
    const { poles, zeros } = breaksOf([
      resistor('R1', 'in', 'out', 1e3),
      resistor('R2', 'out', 'gnd', 1e3),
      resistor('R3', 'in', 'x', 1e3),
      capacitor('C1', 'x', 'gnd', 1e-6),
    ]);
    expect([poles, zeros]).toEqual([[], []]);
  });

  test('roots far apart and roots close together', () => {
    // (1 + x/1)(1 + x/1e3)(1 + x/1e9), and (x² + x + 1)(x − 2)².
    const spread = findRoots([1, 1 + 1e-3 + 1e-9, 1e-3 + 1e-9 + 1e-12, 1e-12]);
    expect(spread?.map(({ re }) => -re)).toEqual([
      expect.closeTo(1, 9),
      expect.closeTo(1e3, 5),
      expect.closeTo(1e9, 0),
    ]);
    const close = findRoots([4, 0, 1, -3, 1]);
    expect(close?.slice(0, 2).map(({ im }) => Math.abs(im))).toEqual([
      expect.closeTo(0.866025, 5),
      expect.closeTo(0.866025, 5),
    ]);
    expect(close?.slice(2).map(({ re }) => re)).toEqual([expect.closeTo(2, 5), expect.closeTo(2, 5)]);
    expect(findRoots([0, 0])).toBeUndefined();
    expect(findRoots([5])).toEqual([]);
  });
});

describe('refusals', () => {
  const refuse = (netlist: Netlist, output: string) => {
    const result = findBreaks(netlist, { plus: 'in' }, { plus: output });
    return result.ok ? 'no refusal' : result.reason;
  };

  test('too many reactive elements, a way that leads nowhere, an unknown point', () => {
    expect(refuse(ladder(12), 'n12')).toBe('20 capacitors and inductors: breaks are told apart up to 6');
    const apart = {
      elements: [
        resistor('R1', 'in', 'gnd', 1),
        resistor('R2', 'out', 'gnd', 1),
        capacitor('C', 'out', 'gnd', 1e-6),
      ],
    };
    expect(refuse(apart, 'out')).toBe('nothing of in reaches out');
    expect(refuse(apart, 'x')).toBe('no node named x');
  });
});
