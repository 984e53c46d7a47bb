/** Owns how long an electrolytic capacitor may be expected to last at a temperature. */
import type { Celsius, Ratio, Seconds } from '../units/si.ts';
import { seconds } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

const YEAR = 365.25 * 24 * 3600;
/** Seals and electrolyte age by themselves: no rule of temperature reaches further. */
const LONGEST = 15 * YEAR;
const COOLEST = 40;

/**
 * Expected life of an aluminium electrolytic in continuous use.
 *
 * Formula:   L = L0·2^((Tr − T) / 10)·k, at most 15 years
 * Symbols:   L0 rated life at full rating [s], Tr rated temperature [°C], T temperature of the capacitor [°C], k factor for
 *            running below the rated voltage, 1 where unknown [1], L life [s]
 * Valid for: 40 °C ≤ T ≤ Tr, L0 > 0, k > 0
 * Errors:    hours of use, not of age on a shelf; its own ripple current warms the capacitor above the air around it
 * Source:    makers' ten-degree rule (life doubles for each 10 °C cooler); common practice
 * Example:   capacitorLife({ rated: seconds(5000 * 3600), ratedAt: celsius(105), at: celsius(65) }) → 288000000 s
 */
export function capacitorLife(capacitor: {
  readonly rated: Seconds;
  readonly ratedAt: Celsius;
  readonly at: Celsius;
  readonly voltageFactor?: Ratio;
}): Result<Seconds> {
  const { rated, ratedAt, at } = capacitor;
  const factor: number = capacitor.voltageFactor ?? 1;
  const outside = refuseUnlessPositive({ 'rated life': rated, 'voltage factor': factor });
  if (outside) return outside;
  if (at > ratedAt) return refused('above the rated temperature');
  if (at < COOLEST) return refused('below 40 °C, where the rule ends');
  return figure(Math.min(LONGEST, rated * 2 ** ((ratedAt - at) / 10) * factor), seconds);
}
