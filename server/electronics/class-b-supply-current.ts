/** Owns the direct current that a class B pair draws at a given peak. */
import type { Amperes } from '../units/si.ts';
import { amperes } from '../units/si.ts';
import { figure, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Direct current that two valves in ideal class B draw together.
 *
 * Formula:   Idc = 2·Ip / π
 * Symbols:   Ip peak current of one side [A], Idc current of both [A]
 * Valid for: sine, no current at rest; Ip ≥ 0
 * Errors:    a class AB pair draws more at small signals, about its current at rest
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   classBSupplyCurrent(amperes(0.1304)) → 0.0830152 A
 */
export function classBSupplyCurrent(peakCurrent: Amperes): Result<Amperes> {
  const outside = refuseIfNegative({ 'peak current': peakCurrent });
  if (outside) return outside;
  return figure((2 * peakCurrent) / Math.PI, amperes);
}
