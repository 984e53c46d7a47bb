/** Reservoirs: balance of charge and power, limits, the three connections, and refusals. Published volts stand in tests/published. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { SILICON } from '../../../server/electronics/solver/rectifier-law.ts';
import {
  type ReservoirCircuit,
  type ReservoirLoad,
  settleReservoir,
} from '../../../server/electronics/solver/reservoir.ts';
import {
  chargingResistance,
  openCircuitVoltage,
  resistanceFromRegulation,
  windingRegulation,
} from '../../../server/electronics/solver/transformer.ts';
import { amperes, farads, hertz, ohms, ratio, volts } from '../../../server/units/si.ts';

const circuit = (change: Partial<ReservoirCircuit> = {}): ReservoirCircuit => ({
  connection: 'full-wave',
  law: { kind: 'valve', perveance: 3.21e-3 },
  winding: volts(280),
  sourceResistance: ohms(140),
  mains: hertz(50),
  reservoir: farads(32e-6),
  ...change,
});

const load = (milliamperes: number): ReservoirLoad => ({
  kind: 'current',
  current: amperes(milliamperes / 1000),
});

function state(of: ReservoirCircuit, by: ReservoirLoad) {
  const result = settleReservoir(of, by);
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

const refusal = (of: ReservoirCircuit, by: ReservoirLoad): string => {
  const result = settleReservoir(of, by);
  return result.ok ? 'no refusal' : result.reason;
};

describe('limits', () => {
  test('without a load the reservoir stands at the peak; silicon keeps its volt, a bridge two', () => {
    expect(state(circuit(), load(0)).mean).toBeCloseTo(280 * Math.SQRT2, 9);
    expect(state(circuit({ law: SILICON }), load(0)).mean).toBeCloseTo(280 * Math.SQRT2 - 1, 9);
    expect(state(circuit({ law: SILICON, connection: 'bridge' }), load(0)).mean).toBeCloseTo(
      280 * Math.SQRT2 - 2,
      9,
    );
    expect(state(circuit(), load(0)).conduction).toBe(0);
  });

  test('a small load comes near that', () => {
    expect(state(circuit(), load(0.001)).mean).toBeCloseTo(280 * Math.SQRT2, 0);
  });

  test('an enormous reservoir has no ripple; a tiny one follows the wave down', () => {
    expect(state(circuit({ reservoir: farads(0.1) }), load(80)).ripplePeakToPeak).toBeLessThan(0.01);
    const dry = state(circuit({ reservoir: farads(0.01e-6), law: SILICON }), {
      kind: 'resistance',
      resistance: ohms(4000),
    });
    // A resistor behind bare silicon and 140 Ω: the mean of a rectified sine, less the drops.
    expect(dry.mean).toBeCloseTo(((280 * Math.SQRT2 * 2) / Math.PI - 1) * (4000 / 4140), 0);
  });

  test('no source resistance and stiff silicon still close the cycle', () => {
    const stiff = state(circuit({ law: SILICON, sourceResistance: ohms(0) }), load(82));
    expect(stiff.peak).toBeCloseTo(280 * Math.SQRT2 - 1, 1);
    // It discharges from the peak in a straight line until the wave meets it.
    expect(stiff.ripplePeakToPeak).toBeLessThan(0.082 / (100 * 32e-6));
    const nearly = state(circuit({ law: SILICON, sourceResistance: ohms(0.5) }), load(82));
    expect(nearly.mean / stiff.mean).toBeCloseTo(1, 2);
  });
});

describe('laws', () => {
  const anyCircuit = fc.record({
    connection: fc.constantFrom<ReservoirCircuit['connection']>('full-wave', 'bridge', 'half-wave'),
    law: fc.constantFrom<ReservoirCircuit['law']>(
      SILICON,
      { kind: 'valve', perveance: 3.21e-3 },
      { kind: 'valve', perveance: 0.3e-3 },
    ),
    winding: fc.double({ min: 50, max: 500, noNaN: true }).map(volts),
    sourceResistance: fc.double({ min: 0, max: 400, noNaN: true }).map(ohms),
    mains: fc.constantFrom(50, 60).map(hertz),
    reservoir: fc.double({ min: 4e-6, max: 200e-6, noNaN: true }).map(farads),
  });

  test('any supply settles between nothing and the peak, or is refused as overloaded', () => {
    fc.assert(
      fc.property(anyCircuit, fc.double({ min: 0.1, max: 250, noNaN: true }), (of, milliamperes) => {
        const result = settleReservoir(of, load(milliamperes));
        if (!result.ok) {
          expect(result.reason).toBe('the load takes the reservoir to nothing');
          return;
        }
        const it = result.value;
        const peak = Math.SQRT2 * of.winding;
        expect(Object.values(it).every(Number.isFinite)).toBe(true);
        expect(it.peak).toBeLessThanOrEqual(peak);
        expect(it.trough).toBeLessThanOrEqual(it.mean);
        expect(it.mean).toBeLessThanOrEqual(it.peak);
        // What goes in comes out: the charging current's mean square is the load's square and the capacitor's.
        const charging = it.windingCurrentRms * (of.connection === 'full-wave' ? Math.SQRT2 : 1);
        expect(charging ** 2 / (it.capacitorCurrentRms ** 2 + it.loadCurrent ** 2)).toBeCloseTo(1, 2);
        // The straight-line ripple is an upper bound.
        const bound = it.loadCurrent / (it.rippleFrequency * of.reservoir);
        expect(it.ripplePeakToPeak).toBeLessThanOrEqual(bound * 1.001);
        expect(it.peakInverse).toBeLessThanOrEqual(peak * (of.connection === 'bridge' ? 1 : 2) * 1.000_001);
      }),
      { seed: 4, numRuns: 150 },
    );
  });

  test('more current, fewer volts; more resistance, fewer volts', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 120, noNaN: true }),
        fc.double({ min: 20, max: 200, noNaN: true }),
        (milliamperes, resistance) => {
          const mean = (mA: number, r: number) =>
            state(circuit({ sourceResistance: ohms(r) }), load(mA)).mean;
          const here = mean(milliamperes, resistance);
          expect(mean(milliamperes * 1.05, resistance)).toBeLessThan(here);
          expect(mean(milliamperes, resistance * 1.1)).toBeLessThan(here);
        },
      ),
      { seed: 8, numRuns: 40 },
    );
  });

  test('a resistor that draws the same mean current leaves nearly the same volts', () => {
    const constant = state(circuit(), load(82));
    const resistive = state(circuit(), { kind: 'resistance', resistance: ohms(constant.mean / 0.082) });
    expect(resistive.mean / constant.mean).toBeCloseTo(1, 3);
    expect(resistive.loadCurrent).toBeCloseTo(0.082, 4);
  });

  test("half-wave ripples at the mains' own frequency, more than twice as much", () => {
    const half = state(circuit({ connection: 'half-wave' }), load(60));
    const full = state(circuit(), load(60));
    expect([half.rippleFrequency, full.rippleFrequency]).toEqual([50, 100]);
    expect(half.ripplePeakToPeak).toBeGreaterThan(2 * full.ripplePeakToPeak);
    expect(half.mean).toBeLessThan(full.mean);
  });

  test("a centre-tapped winding's rectifiers hold off both halves; a bridge's only the winding", () => {
    expect(state(circuit(), load(80)).peakInverse).toBeGreaterThan(700);
    expect(state(circuit({ connection: 'bridge' }), load(80)).peakInverse).toBeCloseTo(280 * Math.SQRT2, 0);
  });
});

describe('refusals', () => {
  test.each<[string, Partial<ReservoirCircuit>, ReservoirLoad]>([
    ['non-positive winding voltage', { winding: volts(0) }, load(1)],
    ['non-positive capacitance', { reservoir: farads(0) }, load(1)],
    ['non-positive frequency', { mains: hertz(0) }, load(1)],
    ['negative resistance', { sourceResistance: ohms(-1) }, load(1)],
    ['non-positive perveance', { law: { kind: 'valve', perveance: 0 } }, load(1)],
    ['negative drop', { law: { kind: 'silicon', drop: volts(-1) } }, load(1)],
    ['the supply is fed backwards', {}, load(-1)],
    ['non-positive load resistance', {}, { kind: 'resistance', resistance: ohms(0) }],
    ['the load takes the reservoir to nothing', {}, load(3000)],
  ])('%s', (reason, change, by) => {
    expect(refusal(circuit(change), by)).toBe(reason);
  });

  test('windings', () => {
    expect(
      chargingResistance({ secondary: ohms(-1), primary: ohms(1), ratio: ratio(1), added: ohms(0) }),
    ).toEqual({ ok: false, reason: 'negative resistance' });
    expect(
      chargingResistance({ secondary: ohms(1), primary: ohms(1), ratio: ratio(0), added: ohms(0) }),
    ).toEqual({ ok: false, reason: 'non-positive ratio' });
    expect(resistanceFromRegulation(volts(280), volts(297), amperes(0.1))).toEqual({
      ok: false,
      reason: 'rises under load',
    });
    expect(resistanceFromRegulation(volts(297), volts(280), amperes(0))).toEqual({
      ok: false,
      reason: 'non-positive current',
    });
    expect(windingRegulation(volts(200), volts(280))).toEqual({ ok: false, reason: 'rises under load' });
    expect(openCircuitVoltage(volts(0), ratio(0.1))).toEqual({ ok: false, reason: 'non-positive voltage' });
    expect(openCircuitVoltage(volts(280), ratio(-0.1))).toEqual({ ok: false, reason: 'negative regulation' });
  });
});
