/**
 * Whole stages by the valve models: where they rest and what they amplify, against published tables and worked examples.
 * Every block names its source.
 */
import { describe, expect, test } from 'vitest';
import { findModels } from '../../server/electronics/models/find-model.ts';
import type { Result } from '../../server/electronics/result.ts';
import { settleAmplifier } from '../../server/electronics/solver/amplifier.ts';
import { linearise } from '../../server/electronics/solver/linearise.ts';
import type { Element, Netlist } from '../../server/electronics/solver/netlist.ts';
import { findOperatingPoint } from '../../server/electronics/solver/operating-point.ts';
import { transfer } from '../../server/electronics/solver/sweep.ts';
import { hertz, volts } from '../../server/units/si.ts';
import { battery, resistor, triodeStage, valve } from '../electronics/solver/amplifiers.ts';

function of<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

/** Middle of the band: far above every coupling and bypass corner, with nothing that falls off at the top. */
const MIDDLE = hertz(10_000);

function gainOf(netlist: Netlist, output: string): number {
  const point = of(findOperatingPoint(netlist));
  const response = of(transfer(of(linearise(netlist, point)), { plus: 'in' }, { plus: output }, [MIDDLE]));
  return response.real[0] ?? Number.NaN;
}

function within(computed: number, expected: number, share: number): void {
  expect(Math.abs(computed / expected - 1), `${computed} against ${expected}`).toBeLessThanOrEqual(share);
}

describe('12AX7, 330 V, 100 kΩ, 1.5 kΩ, with the 1996 parameters: printed in a text book page (transcribed), supply inferred', () => {
  const koren = findModels('12AX7').find(({ name }) => name === 'Koren 1996');
  const stage = (bypass?: number): Netlist => ({
    elements: triodeStage('12AX7', {
      supply: 330,
      anode: 100e3,
      cathode: 1500,
      ...(bypass === undefined ? {} : { bypass }),
    }).elements.map(
      (each): Element => (each.kind === 'valve' && koren !== undefined ? { ...each, model: koren } : each),
    ),
  });

  test('Ia 1.07 mA, Va-k 221 V, Vg-k −1.61 V, gm 1880 µS; re-solved (computed): 1.0742 mA, 220.97 V, −1.6113 V, 1877 µS', () => {
    const v1 = of(findOperatingPoint(stage())).valves.get('V1');
    if (v1?.slopes === undefined) throw new Error('no V1');
    expect(v1.anodeCurrent * 1e3).toBeCloseTo(1.07, 2);
    expect(Math.round(v1.anodeVoltage)).toBe(221);
    expect(v1.gridVoltage).toBeCloseTo(-1.61, 2);
    expect(Math.round(v1.slopes.transconductance * 1e5) * 10).toBe(1880);
    expect(v1.anodeCurrent * 1e3).toBeCloseTo(1.0742, 4);
    expect(v1.anodeVoltage).toBeCloseTo(220.97, 2);
    expect(v1.gridVoltage).toBeCloseTo(-1.6113, 4);
    expect(v1.slopes.transconductance * 1e6).toBeCloseTo(1877, 0);
  });

  test("printed gains −65 and −33 come from the law's µ of 100; with it they come out", () => {
    const gm = of(findOperatingPoint(stage())).valves.get('V1')?.slopes?.transconductance ?? Number.NaN;
    const ra = 100 / gm;
    expect(ra / 1e3).toBeCloseTo(53.3, 1);
    expect(Math.round((100 * 100e3) / (ra + 100e3))).toBe(65);
    expect(Math.round((100 * 100e3) / (ra + 100e3 + 101 * 1500))).toBe(33);
  });

  test('the local slopes are others (computed): ra 49.0 kΩ, µ 92.0, so that the stage gives −61.7 and −31.9', () => {
    const slopes = of(findOperatingPoint(stage())).valves.get('V1')?.slopes;
    expect((slopes?.anodeResistance ?? 0) / 1e3).toBeCloseTo(49.0, 1);
    expect(slopes?.amplificationFactor).toBeCloseTo(92.0, 1);
    expect(gainOf(stage(1), 'V1.a')).toBeCloseTo(-61.7, 1);
    expect(gainOf(stage(), 'V1.a')).toBeCloseTo(-31.9, 1);
  });
});

describe('12AX7 resistance-coupled, cathode bypassed: Philips/Mullard ECC83 data-sheet table, from memory', () => {
  // biome-ignore format: as the table is printed: Ra kΩ, next grid leak kΩ, Vb V, Rk Ω, Ia mA, gain, output V r.m.s., distortion %
  const rows: readonly [Ra: number, Rg: number, Vb: number, Rk: number, Ia: number, gain: number, output: number, distortion: number][] = [
    [47, 150, 200, 1500, 0.86, 34, 18, 8.5],
    [47, 150, 250, 1200, 1.18, 37.5, 23, 7.0],
    [47, 150, 300, 1000, 1.55, 40, 26, 5.0],
    [47, 150, 350, 820, 1.98, 42.5, 33, 4.4],
    [47, 150, 400, 680, 2.45, 44, 37, 3.6],
    [100, 330, 200, 1800, 0.65, 50, 20, 4.8],
    [100, 330, 250, 1500, 0.86, 54.5, 26, 3.9],
    [100, 330, 300, 1200, 1.11, 57, 30, 2.7],
    [100, 330, 350, 1000, 1.40, 61, 36, 2.2],
    [100, 330, 400, 820, 1.72, 63, 38, 1.7],
    [220, 680, 200, 3300, 0.36, 56.5, 24, 4.6],
    [220, 680, 250, 2700, 0.48, 66.5, 28, 3.4],
    [220, 680, 300, 2200, 0.63, 72, 36, 2.6],
    [220, 680, 350, 1500, 0.85, 75.5, 37, 1.6],
    [220, 680, 400, 1200, 1.02, 76.5, 38, 1.1],
  ];
  const stageOf = (Ra: number, Rg: number, Vb: number, Rk: number): Netlist =>
    triodeStage('ECC83', { supply: Vb, anode: Ra * 1e3, cathode: Rk, bypass: 1, leak: Rg * 1e3 });

  test.each(rows)('%d kΩ into %d kΩ, %d V, %d Ω: %d mA ±8 %', (Ra, Rg, Vb, Rk, Ia) => {
    within(
      (of(findOperatingPoint(stageOf(Ra, Rg, Vb, Rk))).valves.get('V1')?.anodeCurrent ?? 0) * 1e3,
      Ia,
      0.08,
    );
  });

  // The table prints gain beside an output and its distortion and does not say at what level it was taken: the model must be
  // within 5 % by a small signal or at that output, and within 7 % by both. The 220 kΩ, 200 V row loses gain near the bend
  // that no law of this kind has.
  test.each(rows)(
    '%d kΩ into %d kΩ, %d V, %d Ω, %d mA: gain %d ±5 % at %d V r.m.s., distortion %d % within 2',
    (Ra, Rg, Vb, Rk, _, gain, output, distortion) => {
      const stage = stageOf(Ra, Rg, Vb, Rk);
      const isOutlier = Ra === 220 && Vb === 200;
      const driven = driveTo(stage, output, gain);
      const small = -gainOf(stage, 'out');
      const nearer = Math.abs(small - gain) < Math.abs(driven.gain - gain) ? small : driven.gain;
      within(nearer, gain, isOutlier ? 0.15 : 0.05);
      within(driven.gain, gain, isOutlier ? 0.15 : 0.07);
      expect(Math.abs(driven.distortion * 100 - distortion)).toBeLessThan(2);
      within(small, gain, isOutlier ? 0.15 : 0.07);
    },
  );
});

/**
 * Gain and distortion of a stage at an output, in the middle of the band: the coupling and bypass capacitors stand as
 * batteries at their resting voltage, and the signal is stepped round its cycle.
 */
function driveTo(
  stage: Netlist,
  outputRms: number,
  guess: number,
): { readonly gain: number; readonly distortion: number } {
  const rest = of(findOperatingPoint(stage));
  const at = (node: string): number => rest.nodes.get(node) ?? 0;
  const out = (grid: number): number => {
    const elements = stage.elements.map((element): Element => {
      if (element.kind !== 'capacitor') return element;
      const held = volts(at(element.from) - at(element.to));
      return {
        kind: 'voltage-source',
        name: element.name,
        plus: element.from,
        minus: element.to,
        voltage: held,
      };
    });
    return (
      of(findOperatingPoint({ elements: [...elements, battery('signal', 'in', grid)] })).nodes.get('out') ?? 0
    );
  };
  const STEPS = 16;
  const harmonics = (amplitude: number): readonly number[] => {
    const wave = Array.from({ length: STEPS }, (_, n) =>
      out(amplitude * Math.cos((2 * Math.PI * n) / STEPS)),
    );
    return [1, 2, 3].map((order) =>
      wave.reduce((sum, v, n) => sum + (2 / STEPS) * v * Math.cos((2 * Math.PI * n * order) / STEPS), 0),
    );
  };
  let amplitude = (outputRms * Math.SQRT2) / guess;
  for (let round = 0; round < 4; round++)
    amplitude *= (outputRms * Math.SQRT2) / -(harmonics(amplitude)[0] ?? 0);
  const [first = 0, second = 0, third = 0] = harmonics(amplitude);
  return { gain: -first / amplitude, distortion: Math.hypot(second, third) / -first };
}

test('12AX7, 300 V, 100 kΩ, 1.5 kΩ bypassed, 1 MΩ: gain 62 read off plate curves (a text book page, transcribed), ±6 %', () => {
  const stage = triodeStage('12AX7', { supply: 300, anode: 100e3, cathode: 1500, bypass: 1, leak: 1e6 });
  within(-gainOf(stage, 'out'), 62, 0.06);
});

describe('output stages with their own cathode resistor: data sheets, from memory, checked by arithmetic', () => {
  /** `count` valves on one resistor; anodes through winding halves of no resistance. */
  const selfBiased = (
    type: string,
    supply: number,
    screens: number,
    cathode: number,
    count: number,
  ): Netlist => ({
    elements: [
      battery('HT', 'B+', supply),
      battery('HT2', 'S+', screens),
      resistor('Rk', 'k', 'gnd', cathode),
      ...Array.from({ length: count }, (_, i) => [
        resistor(`Rg${i}`, `V${i}.g`, 'gnd', 470e3),
        valve(`V${i}`, type, { a: 'B+', k: 'k', s: 'S+' }),
      ]).flat(),
    ],
  });

  // Voltages to the cathode as printed, so that the supply stands higher by the bias.
  // biome-ignore format: one row a point
  const rows: readonly [type: string, Vb: number, Vg2: number, Rk: number, count: number, bias: number, Ik: number][] = [
    ['EL84', 250 + 7.22, 250 + 7.22, 135, 1, 7.22, 53.5],
    ['EL84', 300, 300, 130, 2, 10.4, 80],
    ['6V6GT', 262.5, 262.5, 252.5, 1, 12.5, 49.5],
    ['6L6GC', 264, 264, 181.8, 1, 14, 77],
    ['6L6GC', 368, 268, 318.6, 1, 18, 56.5],
    ['KT66', 265, 265, 164, 1, 15, 91.3],
    ['6K6GT', 268, 268, 480, 1, 18, 37.5],
    ['6AQ5', 262.5, 262.5, 252.5, 1, 12.5, 49.5],
  ];

  test.each(rows)(
    '%s, %d V, screens %d V, %d Ω for %d: bias %d V and %d mA',
    (type, Vb, Vg2, Rk, count, bias, Ik) => {
      const point = of(findOperatingPoint(selfBiased(type, Vb, Vg2, Rk, count)));
      // Sets fitted to the very points come closer than the 6L6GC's of 1996, whose +12 % the resistor leaves +5 %.
      const allowed = type === '6L6GC' ? 0.06 : 0.03;
      within(point.nodes.get('k') ?? 0, bias, allowed);
      within((point.branches.get('Rk') ?? 0) * 1e3, Ik, allowed);
    },
  );

  test('EL34 pair: 375 V, screens through a common 470 Ω, 130 Ω: 22.5 V of bias, 2 x 75 and 2 x 11.5 mA, 26.4 W each, all within 8 %', () => {
    const point = of(
      findOperatingPoint({
        elements: [
          ...selfBiased('EL34', 375, 375, 130, 2).elements.filter(({ name }) => name !== 'HT2'),
          resistor('Rg2', 'B+', 'S+', 470),
        ],
      }),
    );
    const v0 = point.valves.get('V0');
    within(point.nodes.get('k') ?? 0, 22.5, 0.08);
    within((v0?.anodeCurrent ?? 0) * 1e3, 75, 0.08);
    within((v0?.screenCurrent ?? 0) * 1e3, 11.5, 0.08);
    within(v0?.anodeDissipation ?? 0, 26.4, 0.08);
  });
});

describe("an invented amplifier's first stage, 278 V, 1.5 kΩ: what a drifted anode load does (computed by a bisection script)", () => {
  // biome-ignore format: one row a state
  const rows: readonly [Ra: number, Ia: number, Va: number, Vk: number, gain: number][] = [
    [172e3, 0.789, 142.3, 1.18, 70.6],
    [100e3, 0.966, 181.4, 1.45, 59.7],
  ];

  test.each(rows)('%d Ω: %d mA, anode %d V, cathode %d V, gain %d', (Ra, Ia, Va, Vk, gain) => {
    const stage = triodeStage('12AX7', { supply: 278, anode: Ra, cathode: 1500, bypass: 1, leak: 1e6 });
    const point = of(findOperatingPoint(stage));
    within((point.valves.get('V1')?.anodeCurrent ?? 0) * 1e3, Ia, 0.005);
    within(point.nodes.get('V1.a') ?? 0, Va, 0.005);
    within(point.nodes.get('V1.k') ?? 0, Vk, 0.005);
    within(-gainOf(stage, 'out'), gain, 0.005);
  });
});

test('fixed-bias EL34 pair of an invented amplifier: −40.7 V, 455 V behind 160 Ω, screens 1 kΩ (computed): 440.5 V, 35.7 mA each', () => {
  const one = (name: string): Element[] => [
    valve(name, 'EL34', { k: `${name}.k` }),
    { kind: 'voltage-source', name: `${name}.bias`, plus: `${name}.g`, minus: 'gnd', voltage: volts(-40.7) },
    resistor(`${name}.screen`, 'B+', `${name}.g2`, 1e3),
    resistor(`${name}.winding`, 'B+', `${name}.a`, 84),
    resistor(`${name}.sense`, `${name}.k`, 'gnd', 1),
  ];
  const point = of(
    settleAmplifier({
      elements: [
        battery('HT', 'raw', 455),
        resistor('Rs', 'raw', 'B+', 160),
        ...one('V3'),
        ...one('V4'),
        resistor('rest', 'B+', 'gnd', 440.5 / 0.0105),
      ],
    }),
  );
  within(point.nodes.get('B+') ?? 0, 440.5, 0.01);
  within((point.valves.get('V3')?.anodeCurrent ?? 0) * 1e3, 35.7, 0.05);
});
