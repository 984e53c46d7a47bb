/** Owns what the heaters draw together, the voltage they may have, and what the winding has left. */
import type { Amperes, Ratio, Volts } from '../units/si.ts';
import { amperes, ratio, volts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessCount, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

export interface HeaterWindow {
  readonly lowest: Volts;
  readonly goodLow: Volts;
  readonly goodHigh: Volts;
  readonly highest: Volts;
}

/**
 * Heater current of all valves on one winding.
 *
 * Formula:   I = n1·I1 + n2·I2 + …
 * Symbols:   I1, I2 … heater current of one valve as it is wired here [A], n1, n2 … how many of them [1], I together [A]
 * Valid for: at least one kind; currents ≥ 0, counts from 1; all in parallel
 * Errors:    a 12AX7 and its kin draw 0.15 A at 12.6 V and 0.30 A at 6.3 V; a 5751 draws 0.175 and 0.35 A. Heaters in
 *            series must want the same current
 * Source:    Kirchhoff's current law (definition)
 * Example:   heaterCurrent([{ current: amperes(0.3), valves: 4 }, { current: amperes(0.9), valves: 2 }]) → 3 A
 */
export function heaterCurrent(
  heaters: readonly { readonly current: Amperes; readonly valves: number }[],
): Result<Amperes> {
  if (heaters.length === 0) return refused('no heater');
  let sum = 0;
  for (const { current, valves } of heaters) {
    const outside = refuseIfNegative({ 'heater current': current }) ?? refuseUnlessCount({ valves });
    if (outside) return outside;
    sum += valves * current;
  }
  return figure(sum, amperes);
}

/**
 * The window of heater voltage: good within 5 %, at the limit at 10 %.
 *
 * Formula:   lowest = 0.90·V; goodLow = 0.95·V; goodHigh = 1.05·V; highest = 1.10·V
 * Symbols:   V nominal heater voltage [V]; the four bounds [V]
 * Valid for: V > 0
 * Errors:    read at the socket, with true rms where the wave is clipped by a saturated transformer
 * Source:    valve makers' general notes; from memory, unverified
 * Example:   heaterWindow(volts(6.3)) → lowest 5.67 V, goodLow 5.985 V, goodHigh 6.615 V, highest 6.93 V
 */
export function heaterWindow(nominal: Volts): Result<HeaterWindow> {
  const outside = refuseUnlessPositive({ 'heater voltage': nominal });
  if (outside) return outside;
  return figures<HeaterWindow>(
    { lowest: 0.9 * nominal, goodLow: 0.95 * nominal, goodHigh: 1.05 * nominal, highest: 1.1 * nominal },
    { lowest: volts, goodLow: volts, goodHigh: volts, highest: volts },
  );
}

/**
 * Share of a heater winding's rating in use.
 *
 * Formula:   s = I / Imax
 * Symbols:   I heater current together [A], Imax rating of the winding [A], s share [1]
 * Valid for: I ≥ 0, Imax > 0
 * Errors:    leave a tenth over: 0.9 is a full winding
 * Source:    definition; the margin is common practice, no source
 * Example:   heaterWindingLoading(amperes(3), amperes(3.5)) → 0.8571429 1
 */
export function heaterWindingLoading(current: Amperes, rated: Amperes): Result<Ratio> {
  const outside =
    refuseIfNegative({ 'heater current': current }) ?? refuseUnlessPositive({ 'winding rating': rated });
  if (outside) return outside;
  return figure(current / rated, ratio);
}
