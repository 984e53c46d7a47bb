/** Owns power, current and swing of a push-pull stage beyond class A. */
import type { Amperes, Ohms, Volts, Watts } from '../units/si.ts';
import { amperes, ohms, volts, watts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** What one side of a push-pull stage does at a given power: the load it sees alone, its peak current, its swing. */
export interface PushPullSwing {
  readonly sideLoad: Ohms;
  readonly peakCurrent: Amperes;
  readonly swing: Volts;
}

/**
 * Peak current and swing of each side of a push-pull stage at a given power.
 *
 * Formula:   sideLoad = Raa / 4; peakCurrent = √(8·P / Raa); swing = peakCurrent·Raa / 4
 * Symbols:   P power in the load [W], Raa load from anode to anode [Ω]; sideLoad [Ω], peakCurrent [A], swing of the anode
 *            from its voltage at rest [V]
 * Valid for: sine, resistive load, above the class A limit (class-a-limit.ts), losses of the transformer left out; P ≥ 0,
 *            Raa > 0
 * Errors:    while both valves conduct each sees Raa/2, alone Raa/4. The anode cannot swing to 0 V: 39 to 64 V stay
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   pushPullSwing(watts(17), ohms(8000)) → sideLoad 2000 Ω, peakCurrent 0.1303840 A, swing 260.768 V
 */
export function pushPullSwing(power: Watts, anodeToAnode: Ohms): Result<PushPullSwing> {
  const outside = refuseIfNegative({ power }) ?? refuseUnlessPositive({ load: anodeToAnode });
  if (outside) return outside;
  const peakCurrent = Math.sqrt((8 * power) / anodeToAnode);
  return figures<PushPullSwing>(
    { sideLoad: anodeToAnode / 4, peakCurrent, swing: (peakCurrent * anodeToAnode) / 4 },
    { sideLoad: ohms, peakCurrent: amperes, swing: volts },
  );
}

/**
 * Power of a push-pull stage from the peak current of one side.
 *
 * Formula:   P = Ip²·Raa / 8
 * Symbols:   Ip peak current of one side [A], Raa load from anode to anode [Ω], P power [W]
 * Valid for: sine, resistive load, above the class A limit; Raa > 0
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   pushPullPower(amperes(0.130384), ohms(8000)) → 17.0000 W
 */
export function pushPullPower(peakCurrent: Amperes, anodeToAnode: Ohms): Result<Watts> {
  const outside = refuseUnlessPositive({ load: anodeToAnode });
  if (outside) return outside;
  return figure((peakCurrent ** 2 * anodeToAnode) / 8, watts);
}
