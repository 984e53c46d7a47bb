/** Owns the voltage a supply rises to while nothing draws current from it. */
import type { Ratio, Volts } from '../units/si.ts';
import { volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** How the winding feeds the reservoir. A centre-tapped winding's voltage is that of one half. */
export type RectifierCircuit = 'centre-tap' | 'bridge' | 'half-wave' | 'doubler';

/**
 * Direct voltage of a capacitor-input supply without load: cold valves, standby open or output valves out.
 *
 * Formula:   V = k·√2·Vrms·(1 + r)·m, with k = 2 for a doubler and 1 otherwise
 * Symbols:   Vrms loaded winding voltage [V]: of one half for a centre tap, of the whole winding for a bridge, a
 *            half-wave rectifier or a doubler; r rise of the winding without load as a share [1]; m mains over nominal,
 *            1.10 for plus ten per cent [1]; V direct voltage [V]
 * Valid for: no current drawn; Vrms > 0, r ≥ 0, m > 0
 * Errors:    √2 times the end-to-end voltage of a centre-tapped winding is twice too high; the winding's marking is its
 *            loaded figure and understates. An indirectly heated rectifier delays this but does not prevent it: with the
 *            output valves pulled it is all there
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   coldStartVoltage({ winding: volts(350), rise: ratio(0.1), mains: ratio(1.1), circuit: 'centre-tap' }) → 598.9194 V
 */
export function coldStartVoltage(supply: {
  readonly winding: Volts;
  readonly rise: Ratio;
  readonly mains: Ratio;
  readonly circuit: RectifierCircuit;
}): Result<Volts> {
  const { winding, rise, mains, circuit } = supply;
  const outside =
    refuseUnlessPositive({ 'winding voltage': winding, 'mains factor': mains }) ??
    refuseIfNegative({ 'no-load rise': rise });
  if (outside) return outside;
  const multiple = circuit === 'doubler' ? 2 : 1;
  return figure(multiple * Math.SQRT2 * winding * (1 + rise) * mains, volts);
}
