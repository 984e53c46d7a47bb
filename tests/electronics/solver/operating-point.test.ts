/** Circuits at rest: closed forms, Kirchhoff's laws on random circuits, hard cases that must end, and refusals by name. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Result } from '../../../server/electronics/result.ts';
import type { Element, Netlist } from '../../../server/electronics/solver/netlist.ts';
import {
  findOperatingPoint,
  type OperatingPoint,
} from '../../../server/electronics/solver/operating-point.ts';
import { SILICON } from '../../../server/electronics/solver/rectifier-law.ts';
import { amperes, farads, henries, hertz, ohms, ratio, volts } from '../../../server/units/si.ts';
import { battery, capacitor, model, resistor, triodeStage, valve } from './amplifiers.ts';

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const rest = (...elements: readonly Element[]): OperatingPoint => of(findOperatingPoint({ elements }));
const refuse = (...elements: readonly Element[]): string => {
  const result = findOperatingPoint({ elements });
  return result.ok ? 'no refusal' : result.reason;
};
const at = (point: OperatingPoint, node: string): number => point.nodes.get(node) ?? Number.NaN;
const through = (point: OperatingPoint, name: string): number => point.branches.get(name) ?? Number.NaN;

describe('plain circuits', () => {
  test('a divider under load, and what its source delivers', () => {
    const point = rest(
      battery('HT', 'B+', 300),
      resistor('R1', 'B+', 'a', 100e3),
      resistor('R2', 'a', 'gnd', 200e3),
    );
    expect(at(point, 'a')).toBeCloseTo(200, 9);
    expect(through(point, 'R1')).toBeCloseTo(1e-3, 12);
    expect(through(point, 'HT')).toBeCloseTo(1e-3, 12);
  });

  test('a current source through a choke of 250 Ω; a capacitor beside it counts for nothing', () => {
    const point = rest(
      { kind: 'current-source', name: 'load', from: 'B+2', to: 'gnd', current: amperes(0.08) },
      {
        kind: 'inductor',
        name: 'L1',
        from: 'B+1',
        to: 'B+2',
        inductance: henries(10),
        resistance: ohms(250),
      },
      battery('HT', 'B+1', 320),
      capacitor('C1', 'B+2', 'gnd', 32e-6),
    );
    expect(at(point, 'B+2')).toBeCloseTo(300, 9);
    expect(through(point, 'L1')).toBeCloseTo(0.08, 12);
  });

  test('a transformer is the resistance of its windings, each half its own', () => {
    const point = rest(
      battery('HT', 'B+', 400),
      {
        kind: 'transformer',
        name: 'T2',
        windings: [
          { start: 'a1', end: 'B+', turns: ratio(10), resistance: ohms(138) },
          { start: 'B+', end: 'a2', turns: ratio(10), resistance: ohms(124) },
          { start: 's', end: 'gnd', turns: ratio(1) },
        ],
      },
      { kind: 'current-source', name: 'V5', from: 'a1', to: 'gnd', current: amperes(0.04) },
      { kind: 'current-source', name: 'V6', from: 'a2', to: 'gnd', current: amperes(0.03) },
    );
    expect(400 - at(point, 'a1')).toBeCloseTo(0.04 * 138, 9);
    expect(400 - at(point, 'a2')).toBeCloseTo(0.03 * 124, 9);
    expect(through(point, 'T2.1')).toBeCloseTo(-0.04, 12);
    expect(at(point, 's')).toBe(0);
  });

  test('rectifiers: silicon at about a volt, a valve by its three-halves law, and nothing backwards', () => {
    const forward = (law: Extract<Element, { kind: 'rectifier' }>['law'], from: string, to: string) =>
      rest(
        battery('B', 'x', 100),
        resistor('R', from === 'k' ? 'x' : 'k', from === 'k' ? 'k' : 'gnd', 1000),
        { kind: 'rectifier', name: 'D1', anode: from === 'k' ? 'gnd' : 'x', cathode: to, law },
      );
    const silicon = forward(SILICON, 'x', 'k');
    expect(100 - at(silicon, 'k')).toBeCloseTo(1, 0);
    const vacuum = forward({ kind: 'valve', perveance: 3.21e-3 }, 'x', 'k');
    expect(through(vacuum, 'D1')).toBeCloseTo(3.21e-3 * (100 - at(vacuum, 'k')) ** 1.5, 10);
    const backwards = forward(SILICON, 'k', 'k');
    expect(at(backwards, 'k')).toBeCloseTo(100, 6);
  });
});

describe('valves', () => {
  test("a self-biased triode obeys its own law and Ohm's", () => {
    const point = of(findOperatingPoint(triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 })));
    const v1 = point.valves.get('V1');
    expect(at(point, 'V1.k')).toBeCloseTo(1500 * (v1?.anodeCurrent ?? 0), 5);
    expect(300 - at(point, 'V1.a')).toBeCloseTo(100e3 * (v1?.anodeCurrent ?? 0), 4);
    expect(v1?.gridVoltage).toBeCloseTo(-at(point, 'V1.k'), 12);
    expect(v1?.anodeDissipation).toBeCloseTo((v1?.anodeVoltage ?? 0) * (v1?.anodeCurrent ?? 0), 12);
  });

  test('direct-coupled: a stage and its cathode follower', () => {
    const point = rest(
      ...triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 }).elements,
      valve('V2', '12AX7', { a: 'B+', g: 'V1.a' }),
      resistor('R2', 'V2.k', 'gnd', 100e3),
    );
    // A follower's cathode stands a little above its grid.
    const above = at(point, 'V2.k') - at(point, 'V1.a');
    expect(above).toBeGreaterThan(0.05);
    expect(above).toBeLessThan(3);
    expect(point.valves.get('V2')?.remarks).toEqual([]);
  });

  test('a leaking coupling capacitor: +2 V on one grid of an EL84 pair sharing 130 Ω raises it and starves its partner (computed: +15.5 and −9.7 mA)', () => {
    const pair = (leak: number): OperatingPoint =>
      rest(
        battery('HT', 'B+', 300),
        resistor('Rk', 'k', 'gnd', 130),
        ...[0, leak].flatMap((grid, i) => [
          battery(`leak${i}`, `V${i}.g`, grid),
          valve(`V${i}`, 'EL84', { a: 'B+', s: 'B+', k: 'k' }),
        ]),
      );
    const before = pair(0);
    const after = pair(2);
    const change = (name: string) =>
      (after.valves.get(name)?.cathodeCurrent ?? 0) - (before.valves.get(name)?.cathodeCurrent ?? 0);
    expect(change('V1') * 1e3).toBeGreaterThan(12);
    expect(change('V1') * 1e3).toBeLessThan(19);
    expect(change('V0') * 1e3).toBeLessThan(-7);
    expect(change('V0') * 1e3).toBeGreaterThan(-12);
    expect(at(after, 'k') - at(before, 'k')).toBeLessThan(1);
  });

  test('an open screen resistor leaves the valve cold, and the screen near its cathode', () => {
    const point = rest(
      battery('HT', 'B+', 440),
      battery('bias', 'V1.g', -40.7),
      resistor('R42', 'B+', 'V1.g2', 20e6),
      valve('V1', 'EL34', { a: 'B+', k: 'gnd' }),
    );
    expect((point.valves.get('V1')?.anodeCurrent ?? 1) * 1e3).toBeLessThan(1);
    expect(at(point, 'V1.g2')).toBeLessThan(460);
  });

  test('a grid above its cathode is remarked, an estimate of screen current too', () => {
    const point = rest(
      battery('HT', 'B+', 250),
      battery('bias', 'V1.g', 2),
      resistor('Ra', 'B+', 'V1.a', 100e3),
      valve('V1', '12AX7', { k: 'gnd' }),
    );
    expect(point.valves.get('V1')?.remarks.join()).toContain('grid current');
    const output = rest(
      battery('HT', 'B+', 250),
      resistor('Rg', 'V1.g', 'gnd', 1e6),
      resistor('Rk', 'V1.k', 'gnd', 250),
      valve('V1', '6V6GT', { a: 'B+', s: 'B+' }),
    );
    expect(output.valves.get('V1')?.remarks.join()).toContain('screen current');
  });

  test('a cut-off valve has no slopes', () => {
    const point = rest(
      battery('HT', 'B+', 300),
      battery('bias', 'V1.g', -50),
      resistor('Ra', 'B+', 'V1.a', 100e3),
      valve('V1', '12AX7', { k: 'gnd' }),
    );
    expect(point.valves.get('V1')?.anodeCurrent).toBeLessThan(1e-9);
    expect(at(point, 'V1.a')).toBeCloseTo(300, 3);
  });
});

describe('laws', () => {
  test('random circuits of valves come to rest with Kirchhoff satisfied, or are refused: they never throw and never hang', () => {
    const nodes = ['gnd', 'B+', 'a', 'b', 'c', 'd', 'e'];
    const node = fc.constantFrom(...nodes);
    const resistance = fc.double({ min: 1, max: 6.3, noNaN: true }).map((power) => 10 ** power);
    const part = fc.record({
      kind: fc.constantFrom('resistor', 'triode', 'pentode', 'diode'),
      ends: fc.tuple(node, node, node, node),
      value: resistance,
    });
    let settled = 0;
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 3, maxLength: 14 }),
        fc.double({ min: -100, max: 500, noNaN: true }),
        (parts, supply) => {
          const elements: Element[] = [
            battery('HT', 'B+', supply),
            ...nodes.slice(2).map((name) => resistor(`R${name}`, name, 'gnd', 470e3)),
          ];
          for (const [i, { kind, ends, value }] of parts.entries()) {
            const [a, g, k, s] = ends;
            if (a === k) continue;
            if (kind === 'resistor') elements.push(resistor(`X${i}`, a, k, value));
            else if (kind === 'diode')
              elements.push({
                kind: 'rectifier',
                name: `X${i}`,
                anode: a,
                cathode: k,
                law: i % 2 === 0 ? SILICON : { kind: 'valve', perveance: 1e-3 },
              });
            else
              elements.push({
                kind: 'valve',
                name: `X${i}`,
                anode: a,
                grid: g,
                cathode: k,
                screen: s,
                model: model(kind === 'triode' ? '12AU7' : 'EL84'),
              });
          }
          const result = findOperatingPoint({ elements });
          if (!result.ok) {
            expect(result.reason).toMatch(/^does not settle: /);
            return;
          }
          settled++;
          const sums = new Map<string, number>();
          const sizes = new Map<string, number>();
          const carry = (from: string, to: string, current: number): void => {
            for (const [name, sign] of [
              [from, 1],
              [to, -1],
            ] as const) {
              sums.set(name, (sums.get(name) ?? 0) + sign * current);
              sizes.set(name, (sizes.get(name) ?? 0) + Math.abs(current));
            }
          };
          for (const element of elements) {
            const current = result.value.branches.get(element.name) ?? 0;
            if (element.kind === 'resistor') carry(element.from, element.to, current);
            else if (element.kind === 'rectifier') carry(element.anode, element.cathode, current);
            else if (element.kind === 'voltage-source') carry(element.minus, element.plus, current);
            else if (element.kind === 'valve') {
              const point = result.value.valves.get(element.name);
              carry(element.anode, element.cathode, point?.anodeCurrent ?? 0);
              if (element.model.kind === 'pentode')
                carry(element.screen ?? '', element.cathode, point?.screenCurrent ?? 0);
            }
          }
          for (const [name, sum] of sums) {
            // 1 TΩ of insulation is in no branch.
            expect(Math.abs(sum), name).toBeLessThanOrEqual(1e-8 * (sizes.get(name) ?? 0) + 2e-8);
          }
        },
      ),
      { seed: 99, numRuns: 150 },
    );
    expect(settled).toBeGreaterThan(145);
  });

  test('more supply, more current; a larger cathode resistor, less', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 50, max: 450, noNaN: true }),
        fc.double({ min: 200, max: 5000, noNaN: true }),
        (supply, cathode) => {
          const current = (b: number, k: number) =>
            of(findOperatingPoint(triodeStage('12AX7', { supply: b, anode: 100e3, cathode: k }))).valves.get(
              'V1',
            )?.anodeCurrent ?? 0;
          const here = current(supply, cathode);
          expect(current(supply * 1.05, cathode)).toBeGreaterThan(here);
          expect(current(supply, cathode * 1.05)).toBeLessThan(here);
        },
      ),
      { seed: 3, numRuns: 40 },
    );
  });
});

describe('what has no rest', () => {
  test('a grid that nothing ties to anything is named', () => {
    expect(
      refuse(
        battery('HT', 'B+', 300),
        resistor('Ra', 'B+', 'V1.a', 1e5),
        capacitor('Cc', 'x', 'V1.g', 22e-9),
        resistor('R', 'x', 'gnd', 1e6),
        valve('V1', '12AX7', { k: 'gnd' }),
      ),
    ).toBe('floating node: V1.g');
  });

  test('a current driven into nothing is named', () => {
    expect(
      refuse(
        resistor('R', 'a', 'gnd', 1),
        { kind: 'current-source', name: 'I', from: 'gnd', to: 'x', current: amperes(1) },
        capacitor('C', 'x', 'gnd', 1e-6),
      ),
    ).toBe('floating node: x');
  });

  test('a point between two capacitors is left undetermined, and the rest is solved', () => {
    const point = rest(
      battery('HT', 'B+', 300),
      resistor('R', 'B+', 'a', 1e5),
      resistor('R2', 'a', 'gnd', 1e5),
      capacitor('C1', 'a', 'mid', 1e-6),
      capacitor('C2', 'mid', 'gnd', 1e-6),
    );
    expect(point.undetermined).toEqual(['mid']);
    expect(point.nodes.has('mid')).toBe(false);
    expect(at(point, 'a')).toBeCloseTo(150, 9);
  });

  test('two sources against each other determine nothing', () => {
    expect(refuse(battery('E1', 'a', 300), battery('E2', 'a', 310), resistor('R', 'a', 'gnd', 1e3))).toMatch(
      /^nothing determines E[12]$/,
    );
  });

  test('what belongs to another question, and what cannot be', () => {
    const supply: Element = {
      kind: 'supply',
      name: 'HT',
      plus: 'B+',
      minus: 'gnd',
      connection: 'bridge',
      law: SILICON,
      winding: volts(250),
      sourceResistance: ohms(100),
      mains: hertz(50),
      reservoir: farads(47e-6),
    };
    expect(refuse(supply, resistor('R', 'B+', 'gnd', 1e3))).toBe('not for direct current: HT');
    const screenless: Element = {
      kind: 'valve',
      name: 'V1',
      anode: 'a',
      grid: 'gnd',
      cathode: 'gnd',
      model: model('EL84'),
    };
    expect(refuse(screenless, resistor('R', 'a', 'gnd', 1e3))).toBe('pentode without a screen: V1');
    expect(refuse(resistor('R', 'a', 'b', 1e3))).toBe('no part is connected to gnd');
    const netlist: Netlist = {
      ground: 'chassis',
      elements: [
        battery('HT', 'B+', 1),
        resistor('R', 'B+', 'chassis', 1),
        resistor('R2', 'gnd', 'chassis', 1),
      ],
    };
    expect(findOperatingPoint(netlist).ok).toBe(true);
  });
});
