/** Owns the gain of a long-tailed pair to each of its anodes. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface LongTailGain {
  /** To the anode of the valve whose grid is driven; it is turned over. */
  readonly driven: Ratio;
  /** To the anode of the other one; it is not. */
  readonly other: Ratio;
}

/**
 * Gain of a long-tailed pair to each anode, as magnitudes: one grid driven, the other held still for signals.
 *
 * Formula:   i1 = µ / (ra + R1 + (µ + 1)·(Rt ∥ z2)); z2 = (ra + R2)/(µ + 1); driven = i1·R1; other = i1·R2·Rt/(Rt + z2)
 * Symbols:   ra anode resistance of each valve [Ω], µ amplification factor [1], R1, R2 anode loads of the driven and the other
 *            valve with what follows [Ω], Rt all resistance from the cathodes to signal ground [Ω], z2 into the cathode of the
 *            other valve [Ω], driven, other [1]
 * Valid for: small signal, two alike valves; ra > 0, µ > 0, R1 > 0, R2 > 0, Rt > 0
 * Errors:    each side makes about half of what the valve would alone: that is no fault
 * Source:    from the equivalent circuit of a triode (definition of µ and ra); the ratio of the two is that of a long-tailed pair
 * Example:   longTailGain({ anodeResistance: ohms(62_500), amplificationFactor: ratio(100), drivenLoad: ohms(90_000), otherLoad: ohms(90_000), tail: ohms(15_000) }) → driven 30.9222 1, other 28.0942 1
 */
export function longTailGain(pair: {
  readonly anodeResistance: Ohms;
  readonly amplificationFactor: Ratio;
  readonly drivenLoad: Ohms;
  readonly otherLoad: Ohms;
  readonly tail: Ohms;
}): Result<LongTailGain> {
  const { anodeResistance: ra, amplificationFactor: mu, drivenLoad, otherLoad, tail } = pair;
  const outside = refuseUnlessPositive({
    'anode resistance': ra,
    'amplification factor': mu,
    'driven load': drivenLoad,
    'other load': otherLoad,
    'tail resistance': tail,
  });
  if (outside) return outside;
  const into = (ra + otherLoad) / (mu + 1);
  const current = mu / (ra + drivenLoad + (mu + 1) / (1 / tail + 1 / into));
  return figures<LongTailGain>(
    { driven: current * drivenLoad, other: (current * otherLoad * tail) / (tail + into) },
    { driven: ratio, other: ratio },
  );
}
