/** Owns the tie between a valve's three constants. */
import type { Ohms, Ratio, Siemens } from '../units/si.ts';
import { ohms, ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Amplification factor from transconductance and anode resistance.
 *
 * Formula:   µ = gm·ra
 * Symbols:   gm transconductance [S], ra anode resistance [Ω], µ amplification factor [1]
 * Valid for: all three at one operating point; gm > 0, ra > 0
 * Source:    definition
 * Example:   amplificationFactor(siemens(1.6e-3), ohms(62_500)) → 100 1
 */
export function amplificationFactor(transconductance: Siemens, anodeResistance: Ohms): Result<Ratio> {
  const outside = refuseUnlessPositive({ transconductance, 'anode resistance': anodeResistance });
  if (outside) return outside;
  return figure(transconductance * anodeResistance, ratio);
}

/**
 * Anode resistance from amplification factor and transconductance.
 *
 * Formula:   ra = µ / gm
 * Symbols:   µ amplification factor [1], gm transconductance [S], ra anode resistance [Ω]
 * Valid for: all three at one operating point; µ > 0, gm > 0
 * Errors:    a model's parameter µ is not its µ at the point
 * Source:    definition
 * Example:   anodeResistance(ratio(100), siemens(1.88e-3)) → 53191.49 Ω
 */
export function anodeResistance(factor: Ratio, transconductance: Siemens): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'amplification factor': factor, transconductance });
  if (outside) return outside;
  return figure(factor / transconductance, ohms);
}
