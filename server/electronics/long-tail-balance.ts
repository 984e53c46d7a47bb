/** Owns how unequal the two outputs of a long-tailed pair with equal loads are. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Gain of the inverting side of a long-tailed pair over that of the other, with equal anode loads.
 *
 * Formula:   b = 1 + r'k / Rt; r'k = (ra + Ra) / (µ + 1)
 * Symbols:   ra anode resistance of each valve [Ω], Ra anode load of each [Ω], µ amplification factor [1], Rt tail resistance
 *            between the cathodes and signal ground [Ω], b ratio of the gains [1]
 * Valid for: small signal, equal valves and loads; ra > 0, Ra > 0, µ > 0, Rt > 0
 * Errors:    82 kΩ on the inverting side and 100 kΩ on the other is deliberate and makes up for it
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   longTailBalance({ anodeResistance: ohms(62_500), anodeLoad: ohms(90_000), amplificationFactor: ratio(100), tail: ohms(15_000) }) → 1.10066 1
 */
export function longTailBalance(pair: {
  readonly anodeResistance: Ohms;
  readonly anodeLoad: Ohms;
  readonly amplificationFactor: Ratio;
  readonly tail: Ohms;
}): Result<Ratio> {
  const { anodeResistance, anodeLoad, amplificationFactor: mu, tail } = pair;
  const outside = refuseUnlessPositive({
    'anode resistance': anodeResistance,
    'anode load': anodeLoad,
    'amplification factor': mu,
    'tail resistance': tail,
  });
  if (outside) return outside;
  return figure(1 + (anodeResistance + anodeLoad) / ((mu + 1) * tail), ratio);
}
