/** Owns the ripple on a reservoir capacitor by the straight-line discharge, and the capacitance that a ripple implies. */
import type { Amperes, Farads, Hertz, Ratio, Volts } from '../units/si.ts';
import { farads, hertz, ratio, volts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Refusal, Result } from './result.ts';
import { refused } from './result.ts';

export type Rectification = 'full-wave' | 'half-wave';

/** Share of the cycle in which a rectifier usually charges its reservoir: 0.25 to 0.46 over the useful range of load. */
export const USUAL_CONDUCTION: Ratio = ratio(0.36);

/** A reservoir's ripple at its own frequency: peak to peak, and as a true-rms and a selective meter show it. */
export interface ReservoirRipple {
  readonly frequency: Hertz;
  readonly peakToPeak: Volts;
  readonly sawtoothRms: Volts;
  readonly fundamentalRms: Volts;
}

const PULSES: Readonly<Record<Rectification, number>> = { 'full-wave': 2, 'half-wave': 1 };

/**
 * Frequency of the ripple that a healthy rectifier leaves.
 *
 * Formula:   fr = m·f
 * Symbols:   f mains frequency [Hz], m 2 for full-wave and 1 for half-wave [1], fr ripple frequency [Hz]
 * Valid for: f > 0
 * Errors:    ripple at the mains frequency in a full-wave supply means one half of the winding or of the rectifier is dead
 * Source:    definition
 * Example:   rippleFrequency(hertz(50), 'full-wave') → 100 Hz
 */
export function rippleFrequency(mains: Hertz, rectification: Rectification): Result<Hertz> {
  const outside = refuseUnlessPositive({ frequency: mains });
  if (outside) return outside;
  return figure(PULSES[rectification] * mains, hertz);
}

/**
 * Ripple on a reservoir from the current drawn off it.
 *
 * Formula:   frequency = m·f; peakToPeak = I·(1 − κ) / (m·f·C); sawtoothRms = peakToPeak / (2√3);
 *            fundamentalRms = peakToPeak / (π√2)
 * Symbols:   I direct current [A], f mains frequency [Hz], m 2 for full-wave and 1 for half-wave [1], C reservoir [F],
 *            κ share of the cycle in which the rectifier conducts [1]; frequency [Hz]; the three voltages [V]
 * Valid for: I ≥ 0, f > 0, C > 0, 0 ≤ κ < 1; ripple small against the direct voltage
 * Errors:    κ = 0 is an upper bound, 1.3 to 1.9 times the ripple found; 0.25 to 0.46 is usual, USUAL_CONDUCTION where
 *            nothing is known. Meters that respond to the average differ from these by a few per cent
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum); form from memory
 * Example:   reservoirRipple({ current: amperes(0.1), mains: hertz(50), reservoir: farads(47e-6), rectification: 'full-wave' }) → frequency 100 Hz, peakToPeak 21.2766 V, sawtoothRms 6.14202 V, fundamentalRms 4.788917 V
 */
export function reservoirRipple(supply: {
  readonly current: Amperes;
  readonly mains: Hertz;
  readonly reservoir: Farads;
  readonly rectification: Rectification;
  readonly conduction?: Ratio;
}): Result<ReservoirRipple> {
  const { current, mains, reservoir, rectification } = supply;
  const conduction: number = supply.conduction ?? 0;
  const outside =
    refuseIfNegative({ current }) ??
    refuseUnlessPositive({ frequency: mains, capacitance: reservoir }) ??
    refuseUnlessConduction(conduction);
  if (outside) return outside;
  const frequency = PULSES[rectification] * mains;
  const peakToPeak = (current * (1 - conduction)) / (frequency * reservoir);
  return figures<ReservoirRipple>(
    {
      frequency,
      peakToPeak,
      sawtoothRms: peakToPeak / (2 * Math.sqrt(3)),
      fundamentalRms: peakToPeak / (Math.PI * Math.SQRT2),
    },
    { frequency: hertz, peakToPeak: volts, sawtoothRms: volts, fundamentalRms: volts },
  );
}

/**
 * Capacitance that a reservoir shows by its ripple.
 *
 * Formula:   C = I·(1 − κ) / (m·f·ΔV)
 * Symbols:   I direct current [A], κ share of the cycle in which the rectifier conducts [1], f mains frequency [Hz], m 2
 *            for full-wave and 1 for half-wave [1], ΔV ripple, peak to peak [V], C capacitance [F]
 * Valid for: I > 0, f > 0, ΔV > 0, 0 ≤ κ < 1
 * Errors:    κ = 0 gives the most it can be. A high series resistance adds a step to the ripple and makes C read low
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum), turned round; form from memory
 * Example:   capacitanceFromRipple({ current: amperes(82e-3), mains: hertz(50), peakToPeak: volts(80), rectification: 'full-wave', conduction: ratio(0.4) }) → 6.15e-6 F
 */
export function capacitanceFromRipple(supply: {
  readonly current: Amperes;
  readonly mains: Hertz;
  readonly peakToPeak: Volts;
  readonly rectification: Rectification;
  readonly conduction?: Ratio;
}): Result<Farads> {
  const { current, mains, peakToPeak, rectification } = supply;
  const conduction: number = supply.conduction ?? 0;
  const outside =
    refuseUnlessPositive({ current, frequency: mains, ripple: peakToPeak }) ??
    refuseUnlessConduction(conduction);
  if (outside) return outside;
  return figure((current * (1 - conduction)) / (PULSES[rectification] * mains * peakToPeak), farads);
}

function refuseUnlessConduction(conduction: number): Refusal | undefined {
  return conduction >= 0 && conduction < 1 ? undefined : refused('conduction not a share of the cycle');
}
