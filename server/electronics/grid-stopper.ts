/** Owns the treble corner of a grid stopper with the input capacitance behind it. */
import type { Farads, Hertz, Ohms } from '../units/si.ts';
import { hertz } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Corner frequency above which a grid stopper and the grid's capacitance lose treble.
 *
 * Formula:   f = 1 / (2π·(Rs + Rstop)·Cin)
 * Symbols:   Rs source resistance before the stopper [Ω], Rstop stopper [Ω], Cin input capacitance with the stage's gain
 *            in it (miller-input.ts) [F], f frequency [Hz]
 * Valid for: Rs ≥ 0, Rstop ≥ 0, their sum > 0, Cin > 0; no grid current
 * Errors:    with a pot before it Rs is largest at half of its resistance, a quarter of the whole
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   gridStopperCorner({ source: ohms(0), stopper: ohms(68_000), inputCapacitance: farads(110e-12) }) → 21277.4 Hz
 */
export function gridStopperCorner(input: {
  readonly source: Ohms;
  readonly stopper: Ohms;
  readonly inputCapacitance: Farads;
}): Result<Hertz> {
  const { source, stopper, inputCapacitance } = input;
  const outside =
    refuseIfNegative({ 'source resistance': source, 'stopper resistance': stopper }) ??
    refuseUnlessPositive({ resistance: source + stopper, capacitance: inputCapacitance });
  if (outside) return outside;
  return figure(1 / (2 * Math.PI * (source + stopper) * inputCapacitance), hertz);
}
