/** Owns how far a count of visits may be trusted: the interval of shares that would make such a count likely. */
import type { Result } from '../electronics/result.ts';
import { found, refused } from '../electronics/result.ts';

/** Both ends of an interval of shares, 0 to 1. */
export interface ShareInterval {
  readonly low: number;
  readonly high: number;
}

/** The normal deviate that leaves 2.5 % above it: 95 % lie between it and its negative. */
export const Z_95 = 1.959963984540054;

/**
 * Shares in the long run that a count fits, by Wilson's score interval.
 *
 * Formula:   low, high = (p + z²/2n ± z·√(p(1 − p)/n + z²/4n²)) / (1 + z²/n), p = k/n
 * Symbols:   k visits with the failure [1], n visits in all [1], z normal deviate, 1.95996 for 95 % [1], low and high share [1]
 * Valid for: whole k and n, n ≥ 1, 0 ≤ k ≤ n; visits that are independent, which two visits of one amplifier are not quite
 * Errors:    no continuity correction, so for a handful of visits it covers a little less than 95 % at some true shares
 * Source:    E. B. Wilson, Probable inference, the law of succession, and statistical inference, Journal of the American Statistical Association 22 (1927), pages 209 to 212
 * Example:   wilsonInterval(3, 8) → low 0.136844, high 0.694258
 */
export function wilsonInterval(count: number, visits: number, z: number = Z_95): Result<ShareInterval> {
  if (!Number.isInteger(visits) || visits < 1) return refused('not a whole number of visits');
  if (!Number.isInteger(count) || count < 0 || count > visits) return refused('not a count among the visits');
  if (!(z > 0 && Number.isFinite(z))) return refused('non-positive deviate');
  const share = count / visits;
  const square = (z * z) / visits;
  const middle = share + square / 2;
  const reach = z * Math.sqrt((share * (1 - share)) / visits + square / visits / 4);
  // The ends of none and of all are exact; rounding must not put them a hair outside.
  return found({
    low: count === 0 ? 0 : (middle - reach) / (1 + square),
    high: count === visits ? 1 : (middle + reach) / (1 + square),
  });
}
