/** Owns how an output transformer turns the loudspeaker into a load for the anodes. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ohms, ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Load that a transformer shows at its primary.
 *
 * Formula:   Zp = n²·Zs
 * Symbols:   n turns ratio, primary over the tap in use [1], Zs load on that tap [Ω], Zp at the primary [Ω]
 * Valid for: n > 0, Zs > 0; between the transformer's bass and treble corners, losses left out
 * Errors:    an open secondary is no large load but a danger: it arcs
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 21 (output stage to loudspeaker); form from memory
 * Example:   reflectedLoad(ratio(16), ohms(4)) → 1024 Ω
 */
export function reflectedLoad(turnsRatio: Ratio, load: Ohms): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'turns ratio': turnsRatio, load });
  if (outside) return outside;
  return figure(turnsRatio ** 2 * load, ohms);
}

/**
 * Turns ratio of a transformer from the impedances it joins.
 *
 * Formula:   n = √(Zp / Zs)
 * Symbols:   Zp at the primary [Ω], Zs on the tap [Ω], n turns ratio, also that of the voltages [1]
 * Valid for: Zp > 0, Zs > 0
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 21 (output stage to loudspeaker); form from memory
 * Example:   turnsRatio(ohms(5000), ohms(8)) → 25 1
 */
export function turnsRatio(primary: Ohms, secondary: Ohms): Result<Ratio> {
  const outside = refuseUnlessPositive({ 'primary impedance': primary, 'secondary impedance': secondary });
  if (outside) return outside;
  return figure(Math.sqrt(primary / secondary), ratio);
}

/**
 * Load at the primary with another loudspeaker on a tap than it is marked for.
 *
 * Formula:   Zp' = Zp·Zload / Ztap
 * Symbols:   Zp rated primary impedance [Ω], Ztap marking of the tap in use [Ω], Zload what is plugged in [Ω], Zp' load then [Ω]
 * Valid for: all > 0
 * Errors:    4 Ω on the 8 Ω tap halves the load, 16 Ω doubles it
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 21 (output stage to loudspeaker); form from memory
 * Example:   reflectedByTap({ primary: ohms(8000), tap: ohms(8), load: ohms(16) }) → 16000 Ω
 */
export function reflectedByTap(output: {
  readonly primary: Ohms;
  readonly tap: Ohms;
  readonly load: Ohms;
}): Result<Ohms> {
  const { primary, tap, load } = output;
  const outside = refuseUnlessPositive({ 'primary impedance': primary, 'tap impedance': tap, load });
  if (outside) return outside;
  return figure((primary * load) / tap, ohms);
}
