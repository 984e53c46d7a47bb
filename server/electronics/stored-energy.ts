/** Owns what a charged capacitor holds: its energy and its charge. */
import type { Coulombs, Farads, Joules, Volts } from '../units/si.ts';
import { coulombs, joules } from '../units/si.ts';
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

/**
 * Charge on a capacitor.
 *
 * Formula:   Q = C·V
 * Symbols:   C capacitance [F], V voltage across it [V], Q charge [C]
 * Valid for: C ≥ 0
 * Errors:    45 µC, which IEC 61010-1 lets stand on an accessible pin, is 0.11 µF at 400 V: every electrolytic holds far more
 * Source:    definition
 * Example:   storedCharge(farads(100e-6), volts(450)) → 0.045 C
 */
export function storedCharge(capacitance: Farads, voltage: Volts): Result<Coulombs> {
  const outside = refuseIfNegative({ capacitance });
  if (outside) return outside;
  return figure(capacitance * voltage, coulombs);
}
