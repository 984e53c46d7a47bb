/** Owns the drop in a rectifier valve by its three-halves law. */
import type { Amperes, Volts } from '../units/si.ts';
import { amperes, volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Voltage lost in a rectifier valve at a current.
 *
 * Formula:   V = (I / P)^(2/3)
 * Symbols:   I current through one anode at that moment [A], P perveance [A/V^1.5], V drop [V]
 * Valid for: I ≥ 0, P > 0; hot cathode, below saturation
 * Errors:    I is the current of the moment, about 3 to 4 times the direct current in a capacitor-input supply; the drop on
 *            a data sheet is at the direct current through one anode
 * Source:    Child-Langmuir law; Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   rectifierDrop(amperes(0.225), 3.21e-3) → 17.00011 V
 */
export function rectifierDrop(current: Amperes, perveance: number): Result<Volts> {
  const outside = refuseIfNegative({ current }) ?? refuseUnlessPositive({ perveance });
  if (outside) return outside;
  return figure((current / perveance) ** (2 / 3), volts);
}

/**
 * Current through one anode of a rectifier valve at a drop.
 *
 * Formula:   I = P·V^1.5, and 0 for V ≤ 0
 * Symbols:   P perveance [A/V^1.5], V anode to cathode [V], I current [A]
 * Valid for: P > 0; hot cathode, below saturation
 * Source:    Child-Langmuir law; Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   rectifierCurrent(volts(17), 3.21e-3) → 0.2250 A
 */
export function rectifierCurrent(drop: Volts, perveance: number): Result<Amperes> {
  const outside = refuseUnlessPositive({ perveance });
  if (outside) return outside;
  return figure(perveance * Math.max(0, drop) ** 1.5, amperes);
}
