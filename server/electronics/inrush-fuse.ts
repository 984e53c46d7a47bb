/** Owns the steady mains current and the slow-blow fuse that rides over switch-on. */
import type { Amperes, Ratio, Volts, Watts } from '../units/si.ts';
import { amperes } from '../units/si.ts';
import { figure, figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** The steady current, and the band of slow-blow ratings that is usual for it. */
export interface MainsFuse {
  readonly steady: Amperes;
  readonly low: Amperes;
  readonly high: Amperes;
}

/**
 * Steady mains current of an amplifier and the usual band of slow-blow fuses for it.
 *
 * Formula:   steady = P / (η·V); low = 1.5·steady; high = 2·steady
 * Symbols:   P power taken from the transformer, supply and heaters together [W], η efficiency of the transformer [1], V mains
 *            [V]; the three currents [A]
 * Valid for: P > 0, 0 < η ≤ 1, V > 0; IEC 60127 ratings
 * Errors:    a plausibility check only: the fuse to fit is the one the maker marked, in rating, characteristic and breaking
 *            capacity. UL ratings are not IEC ratings (ulEquivalent)
 * Source:    common practice, no source
 * Example:   mainsFuse({ power: watts(85), efficiency: ratio(0.87), mains: volts(230) }) → steady 0.4247876 A, low 0.6371814 A, high 0.8495752 A
 */
export function mainsFuse(amplifier: {
  readonly power: Watts;
  readonly efficiency: Ratio;
  readonly mains: Volts;
}): Result<MainsFuse> {
  const { power, efficiency, mains } = amplifier;
  const outside = refuseUnlessPositive({ power, efficiency, 'mains voltage': mains });
  if (outside) return outside;
  if (efficiency > 1) return refused('efficiency above 1');
  const steady = power / (efficiency * mains);
  return figures<MainsFuse>(
    { steady, low: 1.5 * steady, high: 2 * steady },
    { steady: amperes, low: amperes, high: amperes },
  );
}

/**
 * UL 248-14 rating that behaves like an IEC 60127 rating.
 *
 * Formula:   Iul = 1.35·Iiec
 * Symbols:   Iiec rating by IEC 60127 [A], Iul rating by UL 248-14 for the same load [A]
 * Valid for: Iiec > 0; small fuses
 * Errors:    the same number on a 5 × 20 and on a 6.3 × 32 mm fuse is not the same fuse
 * Source:    fuse makers' application notes on the two standards
 * Example:   ulEquivalent(amperes(1.5)) → 2.025 A
 */
export function ulEquivalent(iecRating: Amperes): Result<Amperes> {
  const outside = refuseUnlessPositive({ 'fuse rating': iecRating });
  if (outside) return outside;
  return figure(1.35 * iecRating, amperes);
}
