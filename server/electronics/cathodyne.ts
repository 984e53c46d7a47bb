/** Owns the gain of a cathodyne phase splitter. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Gain of a cathodyne phase splitter to each of its outputs, as a magnitude.
 *
 * Formula:   A = µ·R / (ra + (µ + 2)·R)
 * Symbols:   µ amplification factor [1], ra anode resistance of the valve [Ω], R anode and cathode load, equal [Ω], A gain to
 *            each output [1]
 * Valid for: small signal, equal loads on both outputs; µ > 0, ra > 0, R > 0
 * Errors:    always below 1: that is no fault. Its cathode stands high: see heater-cathode-voltage.ts
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   cathodyneGain({ amplificationFactor: ratio(100), anodeResistance: ohms(62_500), load: ohms(100_000) }) → 0.9744 1
 */
export function cathodyneGain(stage: {
  readonly amplificationFactor: Ratio;
  readonly anodeResistance: Ohms;
  readonly load: Ohms;
}): Result<Ratio> {
  const { amplificationFactor: mu, anodeResistance, load } = stage;
  const outside = refuseUnlessPositive({
    'amplification factor': mu,
    'anode resistance': anodeResistance,
    load,
  });
  if (outside) return outside;
  return figure((mu * load) / (anodeResistance + (mu + 2) * load), ratio);
}
