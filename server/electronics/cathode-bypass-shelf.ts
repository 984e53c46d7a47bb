/** Owns the step in gain that a cathode bypass capacitor makes. */
import type { Decibels, Farads, Hertz, Ohms } from '../units/si.ts';
import { decibels, hertz } from '../units/si.ts';
import { figures, refuseUnlessCount, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** Below `zero` the stage has its unbypassed gain, above `pole` its full gain, `step` more. */
export interface CathodeBypassShelf {
  readonly zero: Hertz;
  readonly pole: Hertz;
  readonly step: Decibels;
  /** Where half of the step, in decibels, is reached. */
  readonly halfStep: Hertz;
}

/**
 * Zero, pole and height of the step that a cathode bypass capacitor makes in a stage's gain.
 *
 * Formula:   zero = 1 / (2π·Rk·Ck); pole = 1 / (2π·(Rk ∥ r'k)·Ck); step = 20·log(1 + Rk/r'k); halfStep = √(zero·pole);
 *            n sections in phase on one Rk: n·Rk and Ck/n in their place
 * Symbols:   Rk cathode resistor [Ω], Ck bypass capacitor [F], r'k resistance into the cathode [Ω] (cathode-impedance.ts),
 *            n sections in phase on this resistor [1], zero, pole and halfStep [Hz], step [dB]
 * Valid for: Rk > 0, Ck > 0, r'k > 0; small signal. Two sections in opposite phase share a node that does not move:
 *            there is no step, and this is not the formula
 * Errors:    1/(2π·Rk·Ck) alone is the zero, and wrong as the corner by the step itself (a factor of 2 for a 12AX7);
 *            the pole is 3 dB below full gain only where the step is much larger than 3 dB
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   cathodeBypassShelf({ cathodeResistor: ohms(1500), bypass: farads(25e-6), cathodeImpedance: ohms(1518.9) }) → zero 4.24413 Hz, pole 8.435453 Hz, step 5.9664 dB, halfStep 5.9834 Hz
 */
export function cathodeBypassShelf(stage: {
  readonly cathodeResistor: Ohms;
  readonly bypass: Farads;
  readonly cathodeImpedance: Ohms;
  readonly sectionsInPhase?: number;
}): Result<CathodeBypassShelf> {
  const { cathodeResistor, bypass, cathodeImpedance, sectionsInPhase: sections = 1 } = stage;
  const outside =
    refuseUnlessPositive({
      resistance: cathodeResistor,
      capacitance: bypass,
      'cathode impedance': cathodeImpedance,
    }) ?? refuseUnlessCount({ sections });
  if (outside) return outside;
  const lift = 1 + (sections * cathodeResistor) / cathodeImpedance;
  const zero = 1 / (2 * Math.PI * cathodeResistor * bypass);
  return figures<CathodeBypassShelf>(
    { zero, pole: zero * lift, step: 20 * Math.log10(lift), halfStep: zero * Math.sqrt(lift) },
    { zero: hertz, pole: hertz, step: decibels, halfStep: hertz },
  );
}
