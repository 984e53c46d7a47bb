/** Owns the input capacitance of a stage with gain. */
import type { Farads, Ratio } from '../units/si.ts';
import { farads } from '../units/si.ts';
import { figure, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Input capacitance of a stage, enlarged by its own gain.
 *
 * Formula:   Cin = Cgk + Cga·(1 + |A|) + Cs
 * Symbols:   Cgk grid to cathode [F], Cga grid to anode [F], A gain of the stage, as a magnitude [1], Cs wiring and socket
 *            [F], Cin input capacitance [F]
 * Valid for: below the stage's own next pole; a load that is resistive; all ≥ 0
 * Errors:    the capacitances of a data sheet are without socket and wiring, which add some picofarads
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   millerInput({ gridCathode: farads(1.6e-12), gridAnode: farads(1.7e-12), gain: ratio(60), strays: farads(5e-12) }) → 1.103e-10 F
 */
export function millerInput(stage: {
  readonly gridCathode: Farads;
  readonly gridAnode: Farads;
  readonly gain: Ratio;
  readonly strays?: Farads;
}): Result<Farads> {
  const { gridCathode, gridAnode, gain } = stage;
  const strays: number = stage.strays ?? 0;
  const outside = refuseIfNegative({ capacitance: Math.min(gridCathode, gridAnode, strays) });
  if (outside) return outside;
  return figure(gridCathode + gridAnode * (1 + Math.abs(gain)) + strays, farads);
}
