/** Owns the heat on each anode while the stage delivers power. */
import type { Amperes, Volts, Watts } from '../units/si.ts';
import { watts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessCount } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Anode dissipation of each valve of an output stage while it delivers power.
 *
 * Formula:   Pa = (Vb·Idc − Pout) / n
 * Symbols:   Vb anode supply, to the cathodes [V], Idc direct anode current of the whole stage [A], Pout output power [W], n
 *            valves [1], Pa dissipation of each [W]
 * Valid for: sine held steady, equal valves, losses of the transformer left out; Vb·Idc ≥ Pout ≥ 0
 * Errors:    a class AB stage is hottest at about half of its swing, neither at rest nor at full drive
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   dissipationWithSignal({ supply: volts(300), current: amperes(0.092), output: watts(17), valves: 2 }) → 5.3 W
 */
export function dissipationWithSignal(stage: {
  readonly supply: Volts;
  readonly current: Amperes;
  readonly output: Watts;
  readonly valves: number;
}): Result<Watts> {
  const { supply, current, output, valves } = stage;
  const outside = refuseIfNegative({ supply, current, output }) ?? refuseUnlessCount({ valves });
  if (outside) return outside;
  if (output > supply * current) return refused('output above the supply power');
  return figure((supply * current - output) / valves, watts);
}
