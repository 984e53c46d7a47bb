/** Owns the load into which a class A triode gives its most undistorted power. */
import type { Ohms } from '../units/si.ts';
import { ohms } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Load for the most undistorted power of a class A output triode.
 *
 * Formula:   RL = 2·ra
 * Symbols:   ra anode resistance of the valve [Ω], RL load [Ω]
 * Valid for: class A triode with a given supply, straight characteristics; ra > 0
 * Errors:    not for pentodes, whose load goes by voltage over current at rest
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   triodeOptimumLoad(ohms(800)) → 1600 Ω
 */
export function triodeOptimumLoad(anodeResistance: Ohms): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'anode resistance': anodeResistance });
  if (outside) return outside;
  return figure(2 * anodeResistance, ohms);
}
