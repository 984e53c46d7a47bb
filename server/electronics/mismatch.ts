/** Owns how far two figures that should agree lie apart. */
import type { Ratio } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figure } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Difference of two figures of one quantity, as a share of their mean.
 *
 * Formula:   d = |a − b| / (½·(|a| + |b|))
 * Symbols:   a and b two figures of one quantity, such as the cathode currents of a pair or a current found in two ways
 *            [same unit], d difference [1]
 * Valid for: not both zero; 0 for equal ones, 2 where one is nothing
 * Errors:    two currents through old resistors may differ by the resistors' 10 to 20 % and contradict nothing; a 10 MΩ
 *            meter takes 1 % at a 100 kΩ anode, 4.5 % at a 470 kΩ screen, 10 % at 1 MΩ
 * Source:    definition
 * Example:   mismatch(amperes(44.2e-3), amperes(0.3e-3)) → 1.97303 1
 */
export function mismatch<T extends number>(first: T, second: T): Result<Ratio> {
  const mean = (Math.abs(first) + Math.abs(second)) / 2;
  if (mean === 0) return refused('both are zero');
  return figure(Math.abs(first - second) / mean, ratio);
}
