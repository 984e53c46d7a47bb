/** Owns the least inductance with which a choke-input filter works as one. */
import type { Henries, Hertz, Ohms } from '../units/si.ts';
import { henries } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Critical inductance of the choke after a full-wave rectifier.
 *
 * Formula:   L = R / (6π·f)
 * Symbols:   R load, direct voltage over direct current [Ω], f mains frequency [Hz], L inductance [H]
 * Valid for: full-wave, choke input; R > 0, f > 0
 * Errors:    below it the choke runs empty each half cycle and the direct voltage climbs towards the peak of the winding:
 *            with no load at all it always does
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   criticalChoke(ohms(5000), hertz(50)) → 5.305165 H
 */
export function criticalChoke(load: Ohms, mains: Hertz): Result<Henries> {
  const outside = refuseUnlessPositive({ load, frequency: mains });
  if (outside) return outside;
  return figure(load / (6 * Math.PI * mains), henries);
}
