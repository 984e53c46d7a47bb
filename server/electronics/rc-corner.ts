/** Owns the corner frequency of one resistance with one capacitance. */
import type { Farads, Hertz, Ohms } from '../units/si.ts';
import { hertz } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Corner frequency of a first-order RC section, where the response is 3 dB down.
 *
 * Formula:   f = 1 / (2π·R·C)
 * Symbols:   R resistance [Ω], C capacitance [F], f frequency [Hz]
 * Valid for: R > 0, C > 0, one pole; R is all the resistance that the capacitor sees, source and load included
 * Errors:    leaving the source out of R moves the corner by its share of R
 * Source:    definition of the time constant
 * Example:   rcCorner(ohms(10_000), farads(1e-6)) → 15.915494309189533 Hz
 */
export function rcCorner(resistance: Ohms, capacitance: Farads): Result<Hertz> {
  const outside = refuseUnlessPositive({ resistance, capacitance });
  if (outside) return outside;
  return figure(1 / (2 * Math.PI * resistance * capacitance), hertz);
}
