/** Owns what a rectifier drops at a current: the valve's three-halves law and the silicon junction's nearly constant volt. */
import { type Amperes, type Volts, volts } from '../../units/si.ts';
import { figure } from '../domain.ts';
import { found, type Result, refused } from '../result.ts';

export type RectifierLaw =
  /** I = P · V^1.5, `perveance` P in A/V^1.5. */
  { readonly kind: 'valve'; readonly perveance: number } | { readonly kind: 'silicon'; readonly drop: Volts };

/** A silicon rectifier: 1 V while it conducts. */
export const SILICON: RectifierLaw = { kind: 'silicon', drop: volts(1) };

/**
 * Perveance of a rectifier from its data-sheet drop.
 *
 * Formula:   P = I / V^1.5
 * Symbols:   I direct current through one anode [A], V drop between anode and cathode at that current [V], P [A/V^1.5]
 * Valid for: vacuum rectifiers, I > 0 and V > 0; otherwise refused as "non-positive current" or "non-positive voltage"
 * Errors:    those of the printed drop, which is an average valve's
 * Source:    Child-Langmuir law; textbook, no edition named
 * Example:   perveanceFromDrop(amperes(0.225), volts(17)) → 0.00321003 A/V^1.5
 */
export function perveanceFromDrop(current: Amperes, drop: Volts): Result<number> {
  if (!(current > 0)) return refused('non-positive current');
  if (!(drop > 0)) return refused('non-positive voltage');
  return figure(current / drop ** 1.5, (perveance) => perveance);
}

/**
 * Drop of a rectifier at an instantaneous current.
 *
 * Formula:   V = (I / P)^(2/3) for a valve; V = drop for silicon
 * Symbols:   I instantaneous anode current [A] (3 to 4 times the direct current into a reservoir), P perveance [A/V^1.5], V [V]
 * Valid for: I ≥ 0 and P > 0; otherwise refused as "negative current" or "non-positive perveance"
 * Errors:    a silicon junction drops 0.6 V at milliamperes and 1 V at its rating; 1 V is taken throughout
 * Source:    Child-Langmuir law; textbook, no edition named
 * Example:   rectifierDrop({ kind: 'valve', perveance: 0.00321 }, amperes(0.225)) → 17.0001 V
 */
export function rectifierDrop(law: RectifierLaw, current: Amperes): Result<Volts> {
  if (current < 0) return refused('negative current');
  if (law.kind === 'silicon') return found(current > 0 ? law.drop : volts(0));
  if (!(law.perveance > 0)) return refused('non-positive perveance');
  return figure((current / law.perveance) ** (2 / 3), volts);
}
