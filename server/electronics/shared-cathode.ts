/** Owns the cathode current of valves that share one cathode resistor. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { amperes } from '../units/si.ts';
import { figure, refuseUnlessCount, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Mean cathode current of each valve on a common cathode resistor.
 *
 * Formula:   Ik = Vk / (n·Rk)
 * Symbols:   Vk cathode, to the other end of Rk [V], Rk cathode resistor [Ω], n valves on it [1], Ik mean current [A]
 * Valid for: Rk > 0, n a whole number from 1
 * Errors:    only the sum is known: an unbalanced pair hides behind its mean. Read each valve on its own, over the two
 *            halves of the output winding or over 1 Ω in each cathode
 * Source:    Kirchhoff's current law (definition)
 * Example:   meanCathodeCurrent({ cathode: volts(19.7), resistor: ohms(270), valves: 2 }) → 0.03648148148 A
 */
export function meanCathodeCurrent(circuit: {
  readonly cathode: Volts;
  readonly resistor: Ohms;
  readonly valves: number;
}): Result<Amperes> {
  const { cathode, resistor, valves } = circuit;
  const outside = refuseUnlessPositive({ resistance: resistor }) ?? refuseUnlessCount({ valves });
  if (outside) return outside;
  return figure(cathode / (valves * resistor), amperes);
}
