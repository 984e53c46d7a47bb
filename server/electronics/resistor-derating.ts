/** Owns how much of a resistor's rating is left in hot air. */
import type { Celsius, Watts } from '../units/si.ts';
import { watts } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Power that a resistor may turn to heat in surroundings of a given temperature.
 *
 * Formula:   P(T) = Pr for T ≤ T0; Pr·(Tmax − T) / (Tmax − T0) for T0 < T < Tmax; 0 from Tmax on
 * Symbols:   Pr rated power [W], T temperature around the resistor [°C], T0 temperature up to which the full rating
 *            holds [°C], Tmax temperature at which nothing is left [°C], P(T) power allowed [W]
 * Valid for: Pr > 0, Tmax > T0; T0 is 70 °C for most styles and 25 °C for some wire-wound ones, Tmax goes by the style
 * Errors:    the air beside output valves is 50 to 70 °C at least, and hotter above them
 * Source:    straight-line derating curve of IEC 60115 and makers' sheets; from memory, unverified
 * Example:   deratedPower({ rated: watts(1), surroundings: celsius(100), fullUpTo: celsius(70), nothingAt: celsius(155) }) → 0.64705882353 W
 */
export function deratedPower(resistor: {
  readonly rated: Watts;
  readonly surroundings: Celsius;
  readonly fullUpTo: Celsius;
  readonly nothingAt: Celsius;
}): Result<Watts> {
  const { rated, surroundings, fullUpTo, nothingAt } = resistor;
  const outside = refuseUnlessPositive({ 'rated power': rated });
  if (outside) return outside;
  if (nothingAt <= fullUpTo) return refused('derating ends before it begins');
  const share = (nothingAt - surroundings) / (nothingAt - fullUpTo);
  return figure(rated * Math.min(1, Math.max(0, share)), watts);
}
