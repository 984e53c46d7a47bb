/** Owns the voltage a capacitor must stand at worst, and what its rating leaves over. */
import type { Ratio, Volts } from '../units/si.ts';
import { ratio, volts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Voltage across a capacitor from its two ends and the alternating voltage on it.
 *
 * Formula:   V = |V1 − V2| + Vpk
 * Symbols:   V1 and V2 the capacitor's two ends to chassis [V], Vpk peak of the alternating voltage on it [V], V [V]
 * Valid for: Vpk ≥ 0
 * Errors:    for a coupling capacitor the worst is the driving valve cold or pulled: its anode then stands at the whole
 *            supply, and a fixed negative bias on the other end comes on top
 * Source:    definition
 * Example:   capacitorVoltage({ oneEnd: volts(455), otherEnd: volts(-40.7) }) → 495.7 V
 */
export function capacitorVoltage(capacitor: {
  readonly oneEnd: Volts;
  readonly otherEnd: Volts;
  readonly alternatingPeak?: Volts;
}): Result<Volts> {
  const peak: number = capacitor.alternatingPeak ?? 0;
  const outside = refuseIfNegative({ 'alternating peak': peak });
  if (outside) return outside;
  return figure(Math.abs(capacitor.oneEnd - capacitor.otherEnd) + peak, volts);
}

/** The worst of the voltages, and what the rating leaves over it: negative where it is exceeded. */
export interface CapacitorMargin {
  readonly worst: Volts;
  readonly margin: Ratio;
}

/**
 * Margin of a capacitor's voltage rating over the worst voltage it meets.
 *
 * Formula:   margin = 1 − max(|V1|, |V2|, …) / Vr
 * Symbols:   V1, V2 … the voltages it meets [V]: running, running at high mains, cold start, its share of a series
 *            string with the tolerances against it; Vr rated voltage [V]; worst [V]; margin [1]
 * Valid for: Vr > 0, at least one voltage
 * Errors:    the running voltage alone hides the cold start, which with a valve rectifier may be a third higher and more
 * Source:    common practice, no source
 * Example:   capacitorMargin({ rated: volts(500), meets: [volts(326), volts(462)] }) → worst 462 V, margin 0.076 1
 */
export function capacitorMargin(capacitor: {
  readonly rated: Volts;
  readonly meets: readonly Volts[];
}): Result<CapacitorMargin> {
  const outside = refuseUnlessPositive({ 'rated voltage': capacitor.rated });
  if (outside) return outside;
  if (capacitor.meets.length === 0) return refused('no voltage');
  const worst = capacitor.meets.reduce((most, voltage) => Math.max(most, Math.abs(voltage)), 0);
  return figures<CapacitorMargin>(
    { worst, margin: 1 - worst / capacitor.rated },
    { worst: volts, margin: ratio },
  );
}
