/**
 * Supplies with a reservoir held against makers' output voltages and against an independent stepping program.
 *
 * Output voltages: Philips and Mullard data sheets, typical operation, from memory; tolerance 4 %. Perveances: from the drop
 * on the sheet. Worked supplies: computed by an independent stepping script, tolerance 2 %.
 */
import { describe, expect, test } from 'vitest';
import { findRectifier } from '../../server/electronics/models/rectifiers.ts';
import { SILICON } from '../../server/electronics/solver/rectifier-law.ts';
import {
  type ReservoirCircuit,
  regulation,
  settleReservoir,
} from '../../server/electronics/solver/reservoir.ts';
import { amperes, farads, hertz, ohms, volts } from '../../server/units/si.ts';

function law(type: string) {
  const rectifier = findRectifier(type);
  if (!rectifier.ok) throw new Error(rectifier.reason);
  return rectifier.value.law;
}

function state(circuit: ReservoirCircuit, milliamperes: number) {
  const result = settleReservoir(circuit, { kind: 'current', current: amperes(milliamperes / 1000) });
  if (!result.ok) throw new Error(result.reason);
  return result.value;
}

function within(computed: number, expected: number, share: number): void {
  expect(Math.abs(computed / expected - 1), `${computed} against ${expected}`).toBeLessThanOrEqual(share);
}

describe('output volts as the makers printed them', () => {
  // biome-ignore format: one row a line of the table
  const rows: readonly [type: string, Vrms: number, Rt: number, mA: number, microfarads: number, remembered: number, stepped: number][] = [
    ['GZ34', 300, 50, 250, 60, 330, 332.4],
    ['GZ34', 300, 75, 250, 60, 330, 317.6],
    ['GZ34', 350, 75, 250, 60, 380, 383.2],
    ['GZ34', 350, 100, 250, 60, 380, 368.7],
    ['GZ34', 400, 100, 250, 60, 430, 434.1],
    ['GZ34', 400, 125, 250, 60, 430, 419.8],
    ['GZ34', 450, 125, 250, 60, 480, 485.0],
    ['GZ34', 450, 150, 250, 60, 480, 471.0],
    ['EZ81', 250, 150, 160, 50, 245, 238.0],
    ['EZ81', 300, 200, 150, 50, 293, 291.1],
    ['EZ81', 350, 240, 150, 50, 347, 342.8],
    ['EZ80', 250, 125, 90, 50, 265, 267.0],
    ['EZ80', 275, 175, 90, 50, 290, 289.3],
    ['EZ80', 300, 215, 90, 50, 310, 313.7],
    ['EZ80', 350, 300, 90, 50, 360, 361.8],
  ];

  test.each(rows)(
    '%s, 2 x %d V, %d Ω, %d mA, %d µF: %d V',
    (type, Vrms, Rt, mA, microfarads, remembered, stepped) => {
      const { mean } = state(
        {
          connection: 'full-wave',
          law: law(type),
          winding: volts(Vrms),
          sourceResistance: ohms(Rt),
          mains: hertz(50),
          reservoir: farads(microfarads * 1e-6),
        },
        mA,
      );
      within(mean, remembered, 0.04);
      within(mean, stepped, 0.002);
    },
  );
});

const WITH_GZ34 = (microfarads: number): ReservoirCircuit => ({
  connection: 'full-wave',
  law: { kind: 'valve', perveance: 3.21e-3 },
  winding: volts(280),
  sourceResistance: ohms(140),
  mains: hertz(50),
  reservoir: farads(microfarads * 1e-6),
});

describe('a reservoir and what becomes of it when it dries out (computed)', () => {
  test('32 µF: 326.4 V, 16.7 V pp, conducting 38 %, 123 mA r.m.s. in the capacitor', () => {
    const it = state(WITH_GZ34(32), 82);
    within(it.mean, 326.4, 0.02);
    within(it.ripplePeakToPeak, 16.7, 0.02);
    within(it.conduction, 0.38, 0.02);
    within(it.capacitorCurrentRms, 0.123, 0.02);
    within(it.peakCurrent, 0.336, 0.02);
    within(it.rippleRms, 5.3, 0.02);
  });

  test('6.5 µF: the mean hardly falls, the ripple grows fivefold', () => {
    const it = state(WITH_GZ34(6.5), 82);
    within(it.mean, 317.8, 0.02);
    within(it.ripplePeakToPeak, 80.2, 0.02);
    within(it.trough, 276, 0.02);
    within(it.rippleRms, 25.5, 0.02);
  });

  test('silicon, 2 x 250 V, 110 Ω, 47 µF, 92 mA: 305.9 V, 13.5 V pp, 150 mA r.m.s., conducting 33 %', () => {
    const it = state(
      {
        connection: 'full-wave',
        law: SILICON,
        winding: volts(250),
        sourceResistance: ohms(110),
        mains: hertz(50),
        reservoir: farads(47e-6),
      },
      92,
    );
    within(it.mean, 305.9, 0.02);
    within(it.ripplePeakToPeak, 13.5, 0.02);
    within(it.capacitorCurrentRms, 0.15, 0.02);
    within(it.conduction, 0.33, 0.02);
  });
});

describe('regulation of the GZ34 supply with 32 µF (computed)', () => {
  // biome-ignore format: one row a current
  const rows: readonly [mA: number, Vdc: number, pp: number, peakOverMean: number, conduction: number][] = [
    [1, 390.9, 0.28, 15.7, 0.10],
    [20, 366.4, 4.80, 6.4, 0.25],
    [40, 351.1, 8.95, 5.1, 0.31],
    [60, 338.5, 12.76, 4.5, 0.35],
    [80, 327.4, 16.31, 4.1, 0.38],
    [100, 317.3, 19.66, 3.8, 0.41],
    [120, 308.0, 22.83, 3.6, 0.43],
    [140, 299.2, 25.85, 3.5, 0.46],
  ];

  test.each(rows)(
    '%d mA: %d V, %d V pp, peak %d times the mean, conducting %d',
    (mA, Vdc, pp, peakOverMean, conduction) => {
      const it = state(WITH_GZ34(32), mA);
      within(it.mean, Vdc, 0.02);
      within(it.ripplePeakToPeak, pp, 0.02);
      within((it.peakCurrent * 1000) / mA, peakOverMean, 0.02);
      // Printed to two decimals only, so that half of the last one is added to the 2 %.
      expect(Math.abs(it.conduction - conduction)).toBeLessThanOrEqual(0.02 * conduction + 0.005);
    },
  );

  test('falls with the current all the way', () => {
    const means = regulation(
      WITH_GZ34(32),
      rows.map(([mA]) => amperes(mA / 1000)),
    );
    if (!means.ok) throw new Error(means.reason);
    means.value.forEach((mean, i) => {
      expect(mean).toBeLessThan(i === 0 ? Math.SQRT2 * 280 : (means.value[i - 1] ?? 0));
    });
  });
});
