/** Owns the heat on a valve's anode at rest. */
import type { Amperes, Volts, Watts } from '../units/si.ts';
import { watts } from '../units/si.ts';
import { figure, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Anode dissipation of one valve without signal.
 *
 * Formula:   Pa = (Va − Vk)·(Ik − Ig2)
 * Symbols:   Va anode to chassis [V], Vk cathode to chassis [V], Ik cathode current of this valve [A], Ig2 its screen
 *            current, 0 for a triode [A], Pa dissipation [W]
 * Valid for: direct current, no signal; Va ≥ Vk, 0 ≤ Ig2 ≤ Ik
 * Errors:    the three usual ones: the anode to chassis instead of to the cathode, the cathode current instead of the
 *            anode's, and Vk/Rk not divided where valves share Rk. The marking of Rk is worth its tolerance: measure it
 * Source:    definition; Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); from memory
 * Example:   anodeDissipation({ anode: volts(375), cathode: volts(22.49), cathodeCurrent: amperes(86.5e-3), screenCurrent: amperes(11.5e-3) }) → 26.43825 W
 */
export function anodeDissipation(valve: {
  readonly anode: Volts;
  readonly cathode: Volts;
  readonly cathodeCurrent: Amperes;
  readonly screenCurrent?: Amperes;
}): Result<Watts> {
  const { anode, cathode, cathodeCurrent } = valve;
  const screenCurrent: number = valve.screenCurrent ?? 0;
  const outside = refuseIfNegative({ 'cathode current': cathodeCurrent, 'screen current': screenCurrent });
  if (outside) return outside;
  if (anode < cathode) return refused('anode below cathode');
  if (screenCurrent > cathodeCurrent) return refused('screen current above cathode current');
  return figure((anode - cathode) * (cathodeCurrent - screenCurrent), watts);
}
