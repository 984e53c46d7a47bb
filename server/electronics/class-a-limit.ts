/** Owns the power up to which both sides of a push-pull stage conduct. */
import type { Amperes, Ohms, Watts } from '../units/si.ts';
import { watts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Power up to which a push-pull stage stays in class A.
 *
 * Formula:   P = ½·Ia0²·Raa
 * Symbols:   Ia0 anode current of one valve at rest [A], Raa load from anode to anode [Ω], P power [W]
 * Valid for: a balanced pair, resistive load; Ia0 ≥ 0, Raa > 0
 * Errors:    "class A" in an advertisement is no fact: two EL84 at 36 mA into 8 kΩ leave it at 5 of their 17 W
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   classALimit(amperes(0.036), ohms(8000)) → 5.184 W
 */
export function classALimit(restCurrent: Amperes, anodeToAnode: Ohms): Result<Watts> {
  const outside =
    refuseIfNegative({ 'current at rest': restCurrent }) ?? refuseUnlessPositive({ load: anodeToAnode });
  if (outside) return outside;
  return figure(0.5 * restCurrent ** 2 * anodeToAnode, watts);
}
