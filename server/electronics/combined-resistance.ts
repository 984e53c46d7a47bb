/** Owns resistances in parallel and in series, loudspeakers among them. */
import type { Ohms } from '../units/si.ts';
import { ohms } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Resistance of several in parallel.
 *
 * Formula:   R = 1 / (1/R1 + 1/R2 + …)
 * Symbols:   R1, R2 … the resistances [Ω], R all together [Ω]
 * Valid for: at least one, each > 0
 * Errors:    holds for loudspeakers' nominal impedances as far as these hold at all: a real one dips to 80 % of its marking
 * Source:    Kirchhoff's laws (definition)
 * Example:   parallelResistance([ohms(100_000), ohms(1e6)]) → 90909.09 Ω
 */
export function parallelResistance(resistances: readonly Ohms[]): Result<Ohms> {
  if (resistances.length === 0) return refused('no resistance');
  let conductance = 0;
  for (const resistance of resistances) {
    const outside = refuseUnlessPositive({ resistance });
    if (outside) return outside;
    conductance += 1 / resistance;
  }
  return figure(1 / conductance, ohms);
}

/**
 * Resistance of several in series.
 *
 * Formula:   R = R1 + R2 + …
 * Symbols:   R1, R2 … the resistances [Ω], R all together [Ω]
 * Valid for: at least one, each ≥ 0
 * Source:    Kirchhoff's laws (definition)
 * Example:   seriesResistance([ohms(850_000), ohms(150_000)]) → 1000000 Ω
 */
export function seriesResistance(resistances: readonly Ohms[]): Result<Ohms> {
  if (resistances.length === 0) return refused('no resistance');
  let sum = 0;
  for (const resistance of resistances) {
    const outside = refuseIfNegative({ resistance });
    if (outside) return outside;
    sum += resistance;
  }
  return figure(sum, ohms);
}
