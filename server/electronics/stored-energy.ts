/** Owns the energy held in a charged capacitor. */
import type { Farads, Joules, Volts } from '../units/si.ts';
import { joules } from '../units/si.ts';
import { figure, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Energy stored in a capacitor.
 *
 * Formula:   E = ½·C·V²
 * Symbols:   C capacitance [F], V voltage across it [V], E energy [J]
 * Valid for: C ≥ 0
 * Errors:    two in series store the energy of half of one capacitance at the whole voltage, not of the sum
 * Source:    definition
 * Example:   storedEnergy(farads(100e-6), volts(450)) → 10.125 J
 */
export function storedEnergy(capacitance: Farads, voltage: Volts): Result<Joules> {
  const outside = refuseIfNegative({ capacitance });
  if (outside) return outside;
  return figure(0.5 * capacitance * voltage ** 2, joules);
}
