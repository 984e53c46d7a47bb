/** A whole amplifier at rest and for small signals: supplies and valves agreeing with each other, and the refusals by name. */
import { describe, expect, test } from 'vitest';
import type { Result } from '../../../server/electronics/result.ts';
import { settleAmplifier } from '../../../server/electronics/solver/amplifier.ts';
import { linearise } from '../../../server/electronics/solver/linearise.ts';
import type { Element, Supply } from '../../../server/electronics/solver/netlist.ts';
import { findOperatingPoint } from '../../../server/electronics/solver/operating-point.ts';
import { SILICON } from '../../../server/electronics/solver/rectifier-law.ts';
import { settleReservoir } from '../../../server/electronics/solver/reservoir.ts';
import {
  impedance,
  impedances,
  logarithmicSweep,
  magnitudes,
  transfer,
} from '../../../server/electronics/solver/sweep.ts';
import { amperes, farads, hertz, ohms, volts } from '../../../server/units/si.ts';
import { battery, fiveValveAmplifier, resistor, triodeStage, valve } from './amplifiers.ts';

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const supply = (change: Partial<Supply> = {}): Supply => ({
  kind: 'supply',
  name: 'HT',
  plus: 'B+',
  minus: 'gnd',
  connection: 'full-wave',
  law: { kind: 'valve', perveance: 3.21e-3 },
  winding: volts(280),
  sourceResistance: ohms(140),
  mains: hertz(50),
  reservoir: farads(32e-6),
  ...change,
});

describe('the five-valve amplifier of sixty parts', () => {
  const netlist = fiveValveAmplifier();
  const point = of(settleAmplifier(netlist));
  const at = (node: string): number => point.nodes.get(node) ?? Number.NaN;

  test('has sixty parts, and nothing in it is left undetermined', () => {
    expect(netlist.elements.length).toBeGreaterThanOrEqual(60);
    expect(point.undetermined).toEqual([]);
  });

  test('its supply gives the volts that its own regulation gives at that current', () => {
    const drawn = point.branches.get('V5') ?? 0;
    const ht = netlist.elements.find(({ name }) => name === 'V5');
    if (ht?.kind !== 'supply') throw new Error('V5');
    const reservoir = of(settleReservoir(ht, { kind: 'current', current: amperes(drawn) }));
    expect(at('B+1')).toBeCloseTo(reservoir.mean, 4);
    expect(point.supplies.get('V5')?.reservoir.mean).toBeCloseTo(at('B+1'), 4);
  });

  test('currents add up along the supply line', () => {
    const i = (name: string): number => point.branches.get(name) ?? Number.NaN;
    const anodes = (point.valves.get('V3')?.anodeCurrent ?? 0) + (point.valves.get('V4')?.anodeCurrent ?? 0);
    expect(i('V5')).toBeCloseTo(i('L1') + i('R22') + anodes, 8);
    expect(i('R20')).toBeCloseTo(i('R21') + i('R8') + i('R9'), 9);
    expect(at('cathodes') / 270).toBeCloseTo(
      (point.valves.get('V3')?.cathodeCurrent ?? 0) + (point.valves.get('V4')?.cathodeCurrent ?? 0),
      8,
    );
  });

  test('rests where such an amplifier rests', () => {
    expect(at('B+1')).toBeGreaterThan(325);
    expect(at('B+1')).toBeLessThan(350);
    expect(at('cathodes')).toBeGreaterThan(19);
    expect(at('cathodes')).toBeLessThan(24);
    expect(at('V1A.k')).toBeGreaterThan(1.1);
    expect(at('V1A.k')).toBeLessThan(1.6);
    // Each half of the transformer drops its own resistance times its valve's current.
    expect(at('B+1') - at('V3.a')).toBeCloseTo(138 * (point.valves.get('V3')?.anodeCurrent ?? 0), 6);
  });

  test('amplifies; the speaker sees a source loaded by its own feedback', () => {
    const signal = of(linearise(netlist, point));
    const frequencies = of(logarithmicSweep(hertz(20), hertz(20_000), 31));
    const gain = of(transfer(signal, { plus: 'V2A.g' }, { plus: 'speaker' }, frequencies));
    expect(Math.max(...magnitudes(gain))).toBeGreaterThan(3);
    const held = { ...signal, elements: [...signal.elements, battery('held', 'in', 0)] };
    expect(impedances(of(impedance(held, { plus: 'speaker' }, [hertz(400)])))[0]).toBeLessThan(8.1);
  });
});

describe('supplies', () => {
  test('a resistor on a supply, and a bias supply the other way up beside it', () => {
    const point = of(
      settleAmplifier({
        elements: [
          supply(),
          resistor('R1', 'B+', 'gnd', 4000),
          supply({
            name: 'bias',
            plus: 'gnd',
            minus: 'B-',
            connection: 'half-wave',
            law: SILICON,
            winding: volts(50),
            sourceResistance: ohms(50),
            reservoir: farads(50e-6),
          }),
          resistor('R2', 'B-', 'gnd', 33e3),
        ],
      }),
    );
    expect((point.nodes.get('B+') ?? 0) / 4000).toBeCloseTo(
      point.supplies.get('HT')?.reservoir.loadCurrent ?? 0,
      6,
    );
    expect(point.nodes.get('B-')).toBeLessThan(-60);
    expect(point.nodes.get('B-')).toBeGreaterThan(-71);
    expect(point.branches.get('bias')).toBeGreaterThan(0.0018);
  });

  test('an unloaded supply stands at its peak', () => {
    const point = of(settleAmplifier({ elements: [supply(), resistor('R', 'B+', 'x', 1000)] }));
    expect(point.nodes.get('B+')).toBeCloseTo(280 * Math.SQRT2, 0);
    expect(point.nodes.get('x')).toBeCloseTo(point.nodes.get('B+') ?? 0, 6);
  });

  test.each([1e2, 1e3, 1e4, 1e5, 1e6, 1e8])(
    "settles on a load of %d Ω, and the volts are the reservoir's own",
    (load) => {
      const point = of(settleAmplifier({ elements: [supply(), resistor('R', 'B+', 'gnd', load)] }));
      const own = of(
        settleReservoir(supply(), {
          kind: 'current',
          current: point.supplies.get('HT')?.reservoir.loadCurrent ?? amperes(0),
        }),
      );
      expect((point.nodes.get('B+') ?? 0) / own.mean).toBeCloseTo(1, 5);
      expect((point.nodes.get('B+') ?? 0) / load).toBeCloseTo(own.loadCurrent, 6);
    },
  );

  test('pulling an output valve lets the supply rise, and by as much as its output resistance says', () => {
    const output = (count: number): Element[] => [
      supply({ winding: volts(300), reservoir: farads(47e-6) }),
      ...Array.from({ length: count }, (_, i) => [
        valve(`V${i}`, 'EL34', { a: 'B+', s: 'B+', g: 'B-', k: 'gnd' }),
      ]).flat(),
      { kind: 'voltage-source', name: 'bias', plus: 'B-', minus: 'gnd', voltage: volts(-36) },
      resistor('bleed', 'B+', 'gnd', 220e3),
    ];
    const both = of(settleAmplifier({ elements: output(2) }));
    const one = of(settleAmplifier({ elements: output(1) }));
    const rise = (one.nodes.get('B+') ?? 0) - (both.nodes.get('B+') ?? 0);
    const relief = (both.branches.get('HT') ?? 0) - (one.branches.get('HT') ?? 0);
    expect(rise).toBeGreaterThan(5);
    const resistance = both.supplies.get('HT')?.outputResistance ?? 0;
    expect(rise / relief / resistance).toBeGreaterThan(0.9);
    expect(rise / relief / resistance).toBeLessThan(1.5);
  });

  test('a circuit without supplies is a plain operating point', () => {
    const stage = triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 });
    expect(of(settleAmplifier(stage)).nodes).toEqual(of(findOperatingPoint(stage)).nodes);
    expect(of(settleAmplifier(stage)).supplies.size).toBe(0);
  });

  test.each<[string, readonly Element[], RegExp]>([
    [
      'overloaded',
      [supply(), { kind: 'current-source', name: 'I', from: 'B+', to: 'gnd', current: amperes(3) }],
      /^HT: overloaded$/,
    ],
    [
      'fed backwards',
      [supply(), battery('E', 'x', 500), resistor('R', 'x', 'B+', 100)],
      /^HT: fed backwards$/,
    ],
    ['a shorted reservoir', [supply(), resistor('R', 'B+', 'gnd', 0)], /^nothing determines HT$/],
    ['a floating grid', [supply(), valve('V1', '12AX7', { a: 'B+', k: 'gnd' })], /^floating node: V1\.g$/],
    [
      'no reservoir',
      [supply({ reservoir: farads(0) }), resistor('R', 'B+', 'gnd', 1e3)],
      /^non-positive capacitance: HT$/,
    ],
    ['an island', [supply({ minus: 'x' }), resistor('R', 'y', 'gnd', 1e3)], /^floating node: B\+$/],
  ])('%s is refused by name', (_, elements, reason) => {
    const result = settleAmplifier({ elements });
    expect(result.ok ? 'no refusal' : result.reason).toMatch(reason);
  });
});

describe('small signals', () => {
  test('a pentode stage amplifies −gm · (RL ∥ ra) with its screen held, less with its screen free', () => {
    const stage = (screen: Element[]): Element[] => [
      battery('HT', 'B+', 250),
      resistor('Ra', 'B+', 'V1.a', 100e3),
      resistor('Rk', 'V1.k', 'gnd', 1000),
      { kind: 'capacitor', name: 'Ck', from: 'V1.k', to: 'gnd', capacitance: farads(1) },
      resistor('Rg2', 'B+', 'V1.g2', 390e3),
      resistor('Rg', 'in', 'gnd', 1e6),
      valve('V1', 'EF86', { g: 'in' }),
      ...screen,
    ];
    const gain = (elements: Element[]) => {
      const point = of(findOperatingPoint({ elements }));
      const response = of(
        transfer(of(linearise({ elements }, point)), { plus: 'in' }, { plus: 'V1.a' }, [hertz(1000)]),
      );
      return { gain: response.real[0] ?? 0, slopes: point.valves.get('V1')?.slopes };
    };
    const held = gain(
      stage([{ kind: 'capacitor', name: 'Cs', from: 'V1.g2', to: 'gnd', capacitance: farads(1) }]),
    );
    const ra = held.slopes?.anodeResistance ?? 0;
    expect(held.gain).toBeCloseTo(-(held.slopes?.transconductance ?? 0) * ((100e3 * ra) / (100e3 + ra)), 3);
    const free = gain(stage([]));
    expect(Math.abs(free.gain)).toBeLessThan(0.6 * Math.abs(held.gain));
  });

  test('the signal gain is the slope of the operating point itself', () => {
    const at = (grid: number) => {
      const elements = [
        ...triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 }).elements,
        battery('signal', 'in', grid),
      ];
      return of(findOperatingPoint({ elements })).nodes.get('V1.a') ?? 0;
    };
    const stage = triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 });
    const signal = of(linearise(stage, of(findOperatingPoint(stage))));
    const gain = of(transfer(signal, { plus: 'in' }, { plus: 'V1.a' }, [hertz(1000)])).real[0];
    expect(gain).toBeCloseTo((at(1e-3) - at(-1e-3)) / 2e-3, 4);
  });

  test('a supply is its reservoir beside its own resistance', () => {
    const elements: Element[] = [supply(), resistor('R', 'B+', 'gnd', 4000)];
    const point = of(settleAmplifier({ elements }));
    const seen = of(
      impedance(of(linearise({ elements }, point)), { plus: 'B+' }, [hertz(1e-3), hertz(1000)]),
    );
    const inside = point.supplies.get('HT')?.outputResistance ?? 0;
    expect(impedances(seen)[0]).toBeCloseTo((inside * 4000) / (inside + 4000), 1);
    expect(impedances(seen)[1]).toBeCloseTo(1 / (2 * Math.PI * 1000 * 32e-6), 1);
  });

  test('a rectifier is its slope, backwards its insulation', () => {
    const elements: Element[] = [
      battery('E', 'x', 100),
      { kind: 'rectifier', name: 'D1', anode: 'x', cathode: 'k', law: { kind: 'valve', perveance: 3.21e-3 } },
      { kind: 'rectifier', name: 'D2', anode: 'gnd', cathode: 'k', law: SILICON },
      resistor('R', 'k', 'gnd', 1000),
    ];
    const point = of(findOperatingPoint({ elements }));
    const seen = of(impedance(of(linearise({ elements }, point)), { plus: 'k' }, [hertz(50)]));
    const drop = 100 - (point.nodes.get('k') ?? 0);
    const slope = (1.5 * (point.branches.get('D1') ?? 0)) / drop;
    expect(impedances(seen)[0]).toBeCloseTo(1 / (slope + 1e-3), 3);
  });

  test("a point that does not know the valve's nodes is refused", () => {
    const stage = triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500 });
    const other = of(findOperatingPoint({ elements: [battery('E', 'x', 1), resistor('R', 'x', 'gnd', 1)] }));
    expect(linearise(stage, other)).toEqual({ ok: false, reason: 'nothing is known of V1.a' });
  });
});
