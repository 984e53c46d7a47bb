/** Owns the step between a ratio and its decibels. */
import type { Decibels, Ratio } from '../units/si.ts';
import { decibels, ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Decibels of a ratio of voltages or currents.
 *
 * Formula:   L = 20·log10(a)
 * Symbols:   a ratio of two voltages, as a magnitude [1], L level [dB]
 * Valid for: a > 0; nothing at all has no level
 * Errors:    for a ratio of powers it is 10·log10
 * Source:    definition
 * Example:   voltageDecibels(ratio(59.7)) → 35.51949 dB
 */
export function voltageDecibels(voltages: Ratio): Result<Decibels> {
  const outside = refuseUnlessPositive({ ratio: voltages });
  if (outside) return outside;
  return figure(20 * Math.log10(voltages), decibels);
}

/**
 * Decibels of a ratio of powers.
 *
 * Formula:   L = 10·log10(p)
 * Symbols:   p ratio of two powers [1], L level [dB]
 * Valid for: p > 0
 * Source:    definition
 * Example:   powerDecibels(ratio(0.5)) → -3.0103 dB
 */
export function powerDecibels(powers: Ratio): Result<Decibels> {
  const outside = refuseUnlessPositive({ ratio: powers });
  if (outside) return outside;
  return figure(10 * Math.log10(powers), decibels);
}

/**
 * Ratio of voltages that a level in decibels stands for.
 *
 * Formula:   a = 10^(L / 20)
 * Symbols:   L level [dB], a ratio of two voltages [1]
 * Valid for: any level whose ratio is a number
 * Source:    definition
 * Example:   voltageRatio(decibels(60)) → 1000 1
 */
export function voltageRatio(level: Decibels): Result<Ratio> {
  return figure(10 ** (level / 20), ratio);
}
