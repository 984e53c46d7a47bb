/** Owns how much of the anodes' supply power becomes output. */
import type { Amperes, Ratio, Volts, Watts } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Anode efficiency of an output stage.
 *
 * Formula:   η = P / (V·I)
 * Symbols:   P output power [W], V anode supply, to the cathodes [V], I direct anode current of the whole stage [A], η [1]
 * Valid for: P ≥ 0, V > 0, I > 0
 * Errors:    π/4 = 0.785 is the ceiling of class B, 0.5 of class A: a figure above is a misread current or load
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   stageEfficiency({ output: watts(17), supply: volts(300), current: amperes(0.092) }) → 0.615942 1
 */
export function stageEfficiency(stage: {
  readonly output: Watts;
  readonly supply: Volts;
  readonly current: Amperes;
}): Result<Ratio> {
  const { output, supply, current } = stage;
  const outside = refuseIfNegative({ output }) ?? refuseUnlessPositive({ supply, current });
  if (outside) return outside;
  return figure(output / (supply * current), ratio);
}
