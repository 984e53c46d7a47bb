/** Owns the resistance that a mains transformer shows to each rectifier anode. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ohms } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Source resistance at each anode of a rectifier.
 *
 * Formula:   R = Rs + n²·Rp + Radd
 * Symbols:   Rs copper of the half winding in use [Ω], Rp copper of the primary [Ω], n voltage of that half over the
 *            primary's, both without load [1], Radd resistor fitted at the anode [Ω], R source resistance [Ω]
 * Valid for: all resistances ≥ 0, n > 0; leakage reactance left out
 * Errors:    the copper of the secondary alone leaves out the primary's, often a fifth of the whole and more
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   rectifierSourceResistance({ secondary: ohms(85), primary: ohms(14), turnsRatio: ratio(1.3) }) → 108.66 Ω
 */
export function rectifierSourceResistance(transformer: {
  readonly secondary: Ohms;
  readonly primary: Ohms;
  readonly turnsRatio: Ratio;
  readonly added?: Ohms;
}): Result<Ohms> {
  const { secondary, primary, turnsRatio } = transformer;
  const added: number = transformer.added ?? 0;
  const outside =
    refuseIfNegative({
      'secondary resistance': secondary,
      'primary resistance': primary,
      'added resistance': added,
    }) ?? refuseUnlessPositive({ 'turns ratio': turnsRatio });
  if (outside) return outside;
  return figure(secondary + turnsRatio ** 2 * primary + added, ohms);
}
