/** The linear solver against closed forms, against mathjs, and against its own laws. */
import fc from 'fast-check';
import { complex, lusolve, type Complex as MathComplex, type Matrix, matrix, multiply } from 'mathjs';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../../server/electronics/result.ts';
import { assemble } from '../../../server/electronics/solver/linear-system.ts';
import type { Element, Netlist } from '../../../server/electronics/solver/netlist.ts';
import {
  impedance,
  impedances,
  levels,
  logarithmicSweep,
  magnitudes,
  phases,
  type Response,
  transfer,
} from '../../../server/electronics/solver/sweep.ts';
import { henries, hertz, ohms, ratio, siemens } from '../../../server/units/si.ts';
import { battery, capacitor, resistor, triodeStage } from './amplifiers.ts';
import { ladder, sweepByMathjs } from './by-mathjs.ts';

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const refusal = (result: Result<unknown>): string => (result.ok ? 'no refusal' : result.reason);
const gain = (netlist: Netlist, to: string, frequency = 1000): Response =>
  of(transfer(netlist, { plus: 'in' }, { plus: to }, [hertz(frequency)]));

describe('closed forms', () => {
  test('an RC low pass stands at 1/√2 and -45° at 1/(2πRC)', () => {
    const rc = { elements: [resistor('R', 'in', 'out', 10e3), capacitor('C', 'out', 'gnd', 1e-6)] };
    const response = gain(rc, 'out', 1 / (2 * Math.PI * 10e3 * 1e-6));
    expect(magnitudes(response)[0]).toBeCloseTo(Math.SQRT1_2, 12);
    expect(phases(response)[0]).toBeCloseTo(-45, 10);
    expect(levels(response)[0]).toBeCloseTo(-3.0103, 4);
  });

  test('a smoothing choke and capacitor: 1/(ω²LC − 1) at 100 Hz with 10 H and 47 µF', () => {
    const smoothing: Netlist = {
      elements: [
        { kind: 'inductor', name: 'L', from: 'in', to: 'out', inductance: henries(10) },
        capacitor('C', 'out', 'gnd', 47e-6),
      ],
    };
    expect(magnitudes(gain(smoothing, 'out', 100))[0]).toBeCloseTo(0.005419, 6);
  });

  test('a triode stage: −µ·RL/(ra + RL) with the cathode bypassed, −µ·RL/(ra + RL + (µ+1)·Rk) without', () => {
    const [mu, ra, anode, cathode] = [100, 62.5e3, 100e3, 1500];
    const stage = (cathodeAt: string): Netlist => ({
      elements: [
        {
          kind: 'linear-valve',
          name: 'V1',
          anode: 'a',
          grid: 'in',
          cathode: cathodeAt,
          transconductance: siemens(mu / ra),
          anodeResistance: ohms(ra),
        },
        resistor('Ra', 'B+', 'a', anode),
        battery('HT', 'B+', 300),
        resistor('Rk', 'k', 'gnd', cathode),
        resistor('Rg', 'in', 'gnd', 1e6),
      ],
    });
    expect(gain(stage('gnd'), 'a').real[0]).toBeCloseTo((-mu * anode) / (ra + anode), 9);
    expect(gain(stage('k'), 'a').real[0]).toBeCloseTo((-mu * anode) / (ra + anode + (mu + 1) * cathode), 9);
    const output = of(
      impedance({ elements: [...stage('k').elements, battery('drive', 'in', 0)] }, { plus: 'a' }, [
        hertz(1000),
      ]),
    );
    const inside = ra + (mu + 1) * cathode;
    expect(impedances(output)[0]).toBeCloseTo((anode * inside) / (anode + inside), 6);
  });

  test('an ideal transformer reflects its load by the square of its ratio: 25 : 1 and 8 Ω are 5 kΩ', () => {
    const output: Netlist = {
      elements: [
        {
          kind: 'transformer',
          name: 'T2',
          windings: [
            { start: 'a', end: 'gnd', turns: ratio(25) },
            { start: 'speaker', end: 'gnd', turns: ratio(1) },
          ],
        },
        resistor('LS1', 'speaker', 'gnd', 8),
      ],
    };
    const seen = of(impedance(output, { plus: 'a' }, [hertz(1000)]));
    expect(impedances(seen)[0]).toBeCloseTo(5000, 6);
  });

  test('a centre-tapped primary: anode to anode four times one side alone, and the sides oppose', () => {
    const output: Netlist = {
      elements: [
        {
          kind: 'transformer',
          name: 'T2',
          windings: [
            { start: 'a1', end: 'tap', turns: ratio(10) },
            { start: 'tap', end: 'a2', turns: ratio(10) },
            { start: 's', end: 'gnd', turns: ratio(1) },
          ],
          magnetising: henries(1e6),
        },
        battery('HT', 'tap', 300),
        resistor('LS1', 's', 'gnd', 8),
      ],
    };
    const at = (port: { plus: string; minus?: string }) =>
      impedances(of(impedance(output, port, [hertz(1000)])))[0] ?? 0;
    expect(at({ plus: 'a1', minus: 'a2' }) / 3200).toBeCloseTo(1, 5);
    expect(at({ plus: 'a1' }) / 800).toBeCloseTo(1, 5);
    const across = of(transfer(output, { plus: 'a1' }, { plus: 'a2' }, [hertz(1000)]));
    expect(across.real[0]).toBeCloseTo(-1, 6);
  });

  test('magnetising inductance takes the bass: with 5 kΩ in series the corner is R ∥ load over 2πL', () => {
    const output: Netlist = {
      elements: [
        resistor('Rs', 'in', 'p', 5000),
        {
          kind: 'transformer',
          name: 'T2',
          windings: [
            { start: 'p', end: 'gnd', turns: ratio(25) },
            { start: 's', end: 'gnd', turns: ratio(1) },
          ],
          magnetising: henries(10),
        },
        resistor('LS1', 's', 'gnd', 8),
      ],
    };
    const corner = 2500 / (2 * Math.PI * 10);
    const low = magnitudes(gain(output, 's', corner))[0] ?? 0;
    const middle = magnitudes(gain(output, 's', 1e5))[0] ?? 0;
    expect(low / middle).toBeCloseTo(Math.SQRT1_2, 5);
    // At no frequency at all a transformer passes nothing, and nothing has no level.
    expect(levels(gain(output, 's', 0))[0]).toBeUndefined();
  });

  test('a signal applied between two points neither of which is ground', () => {
    const bridge = {
      elements: [
        resistor('R1', 'in', 'x', 1000),
        resistor('R2', 'x', 'y', 2000),
        resistor('R3', 'y', 'gnd', 1000),
      ],
    };
    const response = of(
      transfer(bridge, { plus: 'in', minus: 'y' }, { plus: 'x', minus: 'y' }, [hertz(100)]),
    );
    expect(response.real[0]).toBeCloseTo(2 / 3, 12);
  });
});

describe('against mathjs', () => {
  test('a ladder of twelve nodes over three decades, to 1e-9', () => {
    const netlist = ladder(12);
    const frequencies = of(logarithmicSweep(hertz(20), hertz(20_000), 40));
    const own = of(transfer(netlist, { plus: 'in' }, { plus: 'n12' }, frequencies));
    const other = sweepByMathjs(netlist, 'n12', frequencies);
    frequencies.forEach((_, i) => {
      const size = Math.hypot(other[i]?.re ?? 0, other[i]?.im ?? 0);
      const off = Math.hypot(
        (own.real[i] ?? 0) - (other[i]?.re ?? 0),
        (own.imaginary[i] ?? 0) - (other[i]?.im ?? 0),
      );
      expect(off / size).toBeLessThan(1e-9);
    });
  });

  test('any network of resistors, capacitors, chokes, a transformer and a valve: the assembled equations solved by mathjs, to 1e-9', () => {
    const node = fc.constantFrom('a', 'b', 'c', 'd', 'gnd');
    const value = fc.double({ min: -1, max: 1, noNaN: true });
    const part = fc.record({
      from: node,
      to: node,
      kind: fc.constantFrom('resistor', 'capacitor', 'inductor'),
      size: value,
    });
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 12 }), value, (parts, tuning) => {
        const elements: Element[] = [
          resistor('Rin', 'in', 'a', 10e3),
          ...['a', 'b', 'c', 'd'].map((name, i) => resistor(`R${i}`, name, 'gnd', 100e3)),
          {
            kind: 'linear-valve',
            name: 'V1',
            anode: 'b',
            grid: 'a',
            cathode: 'c',
            transconductance: siemens(1.6e-3),
            anodeResistance: ohms(62.5e3),
          },
          {
            kind: 'transformer',
            name: 'T1',
            windings: [
              { start: 'b', end: 'gnd', turns: ratio(10), resistance: ohms(100) },
              { start: 'd', end: 'gnd', turns: ratio(1), resistance: ohms(1) },
            ],
            magnetising: henries(10),
          },
        ];
        for (const [i, { from, to, kind, size }] of parts.entries()) {
          const name = `X${i}`;
          if (kind === 'resistor') elements.push(resistor(name, from, to, 10e3 * 10 ** size));
          else if (kind === 'capacitor') elements.push(capacitor(name, from, to, 10e-9 * 10 ** size));
          else
            elements.push({
              kind: 'inductor',
              name,
              from,
              to,
              inductance: henries(10 ** size),
              resistance: ohms(50),
            });
        }
        const frequency = hertz(300 * 10 ** tuning);
        const system = of(assemble({ elements }, { kind: 'voltage', port: { plus: 'in' } }));
        const own = of(transfer({ elements }, { plus: 'in' }, { plus: 'd' }, [frequency]));
        const width = system.order + 1;
        const entry = (row: number, column: number) =>
          complex(
            system.conductance[row * width + column] ?? 0,
            2 * Math.PI * frequency * (system.susceptance[row * width + column] ?? 0),
          );
        const rows = Array.from({ length: system.order }, (_, row) => row);
        const a = matrix(rows.map((row) => rows.map((column) => entry(row, column))));
        const b = matrix(rows.map((row) => [multiply(-1, entry(row, system.order)) as MathComplex]));
        const x = lusolve(a, b) as Matrix<MathComplex>;
        const d = x.get([system.voltageOf.get('d') ?? 0, 0]) as MathComplex;
        const off = Math.hypot((own.real[0] ?? 0) - d.re, (own.imaginary[0] ?? 0) - d.im);
        expect(off).toBeLessThanOrEqual(1e-9 * Math.max(1e-3, Math.hypot(d.re, d.im)));
      }),
      { seed: 20_240_611, numRuns: 60 },
    );
  });
});

describe('laws', () => {
  test('a network of resistors and capacitors is reciprocal: from a to b as from b to a', () => {
    const held: Netlist = { elements: [...ladder(6).elements, resistor('hold', 'in', 'gnd', 1e3)] };
    const there = transferImpedance(held, 'n1', 'n6');
    const back = transferImpedance(held, 'n6', 'n1');
    expect(there / back).toBeCloseTo(1, 6);
  });

  test('scaling all impedances leaves the response as it was', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (scale) => {
        const scaled = ladder(8).elements.map((element) => {
          if (element.kind === 'resistor')
            return resistor(element.name, element.from, element.to, element.resistance * scale);
          if (element.kind === 'capacitor')
            return capacitor(element.name, element.from, element.to, element.capacitance / scale);
          return element;
        });
        const before = gain(ladder(8), 'n8', 440);
        const after = gain({ elements: scaled }, 'n8', 440);
        expect(after.real[0]).toBeCloseTo(before.real[0] ?? 0, 10);
        expect(after.imaginary[0]).toBeCloseTo(before.imaginary[0] ?? 0, 10);
      }),
      { seed: 7, numRuns: 40 },
    );
  });
});

/** |V(to)| for 1 A into `from`, by the drop that a large series resistor sets. */
function transferImpedance(netlist: Netlist, from: string, to: string): number {
  const drive: Netlist = { elements: [...netlist.elements, resistor('drive', 'source', from, 1e12)] };
  const response = of(transfer(drive, { plus: 'source' }, { plus: to }, [hertz(440)]));
  return (magnitudes(response)[0] ?? 0) * 1e12;
}

describe('refusals name the place', () => {
  const frequencies = [hertz(1000)];
  const refuse = (elements: readonly Element[], input = 'in', output = 'out'): string =>
    refusal(transfer({ elements }, { plus: input }, { plus: output }, frequencies));

  test.each<[string, readonly Element[], string]>([
    ['an island', [resistor('R1', 'in', 'gnd', 1e3), resistor('R2', 'x', 'out', 1e3)], 'floating node: x'],
    ['an unknown output', [resistor('R1', 'in', 'gnd', 1e3)], 'no node named out'],
    ['no ground at all', [resistor('R1', 'in', 'out', 1e3)], 'no part is connected to gnd'],
    [
      'a shorted input',
      [resistor('R1', 'in', 'gnd', 0), resistor('R2', 'in', 'out', 1)],
      'in is shorted to gnd',
    ],
    [
      'a negative resistor',
      [resistor('R1', 'in', 'gnd', -1), resistor('R2', 'in', 'out', 1)],
      'negative resistance: R1',
    ],
    [
      'two of one name',
      [resistor('R1', 'in', 'gnd', 1), resistor('R1', 'in', 'out', 1)],
      'two elements named R1',
    ],
  ])('%s', (_, elements, reason) => {
    expect(refuse(elements)).toBe(reason);
  });

  test('a grid left open is a floating node: a grid carries no current', () => {
    const elements: Element[] = [
      resistor('Ra', 'a', 'gnd', 100e3),
      resistor('Rin', 'in', 'gnd', 1e6),
      {
        kind: 'linear-valve',
        name: 'V1',
        anode: 'a',
        grid: 'g',
        cathode: 'gnd',
        transconductance: siemens(1e-3),
        anodeResistance: ohms(1e5),
      },
    ];
    expect(refuse(elements, 'in', 'a')).toBe('floating node: g');
  });

  test('a loop of two ideal windings determines no current, and is named', () => {
    const winding = (name: string): Element => ({
      kind: 'inductor',
      name,
      from: 'in',
      to: 'out',
      inductance: henries(0),
    });
    expect(refuse([winding('L1'), winding('L2'), resistor('R', 'out', 'gnd', 1e3)])).toMatch(
      /^nothing determines L[12] at 1000 Hz$/,
    );
  });

  test('a capacitor at no frequency leaves its far side undetermined', () => {
    const coupled = { elements: [capacitor('C1', 'in', 'out', 1e-6), capacitor('C2', 'out', 'gnd', 1e-6)] };
    expect(refusal(transfer(coupled, { plus: 'in' }, { plus: 'out' }, [hertz(0)]))).toBe(
      'nothing determines out at 0 Hz',
    );
    expect(refusal(transfer(coupled, { plus: 'in' }, { plus: 'out' }, [hertz(-1)]))).toBe(
      'negative frequency',
    );
  });

  test('a valve by its curves is not linear', () => {
    expect(refuse(triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 }).elements)).toBe(
      'not linear: V1',
    );
  });

  test.each([
    [0, 10, 3, 'non-positive frequency'],
    [10, 10, 3, 'empty range'],
    [10, 20, 1, 'number of points'],
  ])('a sweep from %d to %d Hz in %d points: %s', (first, last, count, reason) => {
    expect(refusal(logarithmicSweep(hertz(first), hertz(last), count))).toBe(reason);
  });
});
