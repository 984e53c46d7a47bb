/** Owns what a small wrong voltage on one grid does to the currents of its stage. */
import type { Amperes, Ohms, Ratio, Siemens, Volts } from '../units/si.ts';
import { amperes, volts } from '../units/si.ts';
import { figures, refuseIfNegative, refuseUnlessCount, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** Changes, with their signs: of the valve with the error, of each of the others on its resistor, and of their cathode. */
export interface GridErrorEffect {
  readonly faulty: Amperes;
  readonly others: Amperes;
  readonly cathode: Volts;
}

/**
 * Change of cathode currents that a wrong voltage on one grid makes.
 *
 * Formula:   g = gm·(1 + s); cathode = g·Rk·ΔVg / (1 + n·g·Rk); faulty = g·(ΔVg − cathode); others = −g·cathode
 * Symbols:   gm transconductance to the anode [S], s screen current for each ampere of anode current, 0 for a triode [1],
 *            ΔVg error of the grid [V], Rk cathode resistor, 0 for fixed bias [Ω], n valves on it [1]; changes of current
 *            [A] and of the cathode [V]
 * Valid for: a change small against the bias, anodes whose voltage hardly moves (an output stage at rest); gm > 0, s ≥ 0,
 *            Rk ≥ 0, n from 1
 * Errors:    a resistor of its own hides a leak; a shared one hides it less and starves the other valve, so that a matched
 *            pair looks mismatched
 * Source:    small-signal nodal analysis (computed)
 * Example:   gridErrorEffect({ transconductance: siemens(11.3e-3), screenToAnode: ratio(0.1146), error: volts(2), cathodeResistor: ohms(130), valves: 2 }) → faulty 0.01554138 A, others -0.009648575 A, cathode 0.7660652 V
 */
export function gridErrorEffect(stage: {
  readonly transconductance: Siemens;
  readonly screenToAnode?: Ratio;
  readonly error: Volts;
  readonly cathodeResistor?: Ohms;
  readonly valves?: number;
}): Result<GridErrorEffect> {
  const { transconductance, error, valves = 1 } = stage;
  const screen: number = stage.screenToAnode ?? 0;
  const resistor: number = stage.cathodeResistor ?? 0;
  const outside =
    refuseUnlessPositive({ transconductance }) ??
    refuseIfNegative({ 'screen share': screen, 'cathode resistance': resistor }) ??
    refuseUnlessCount({ valves });
  if (outside) return outside;
  const slope = transconductance * (1 + screen);
  const cathode = (slope * resistor * error) / (1 + valves * slope * resistor);
  return figures<GridErrorEffect>(
    { faulty: slope * (error - cathode), others: -slope * cathode, cathode },
    { faulty: amperes, others: amperes, cathode: volts },
  );
}
