/** Owns power, current and swing of a single-ended output stage. */
import type { Amperes, Ohms, Volts, Watts } from '../units/si.ts';
import { amperes, volts, watts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface SingleEndedSwing {
  readonly peakCurrent: Amperes;
  readonly peakVoltage: Volts;
}

/**
 * Peak current and voltage that a single-ended stage needs for a given power.
 *
 * Formula:   peakCurrent = √(2·P / R); peakVoltage = √(2·P·R)
 * Symbols:   P power [W], R reflected load [Ω]; peakCurrent [A], peakVoltage [V]
 * Valid for: sine, resistive load; class A needs peakCurrent up to the current at rest; P ≥ 0, R > 0
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   singleEndedSwing(watts(4.5), ohms(5000)) → peakCurrent 0.0424264 A, peakVoltage 212.132 V
 */
export function singleEndedSwing(power: Watts, load: Ohms): Result<SingleEndedSwing> {
  const outside = refuseIfNegative({ power }) ?? refuseUnlessPositive({ load });
  if (outside) return outside;
  return figures<SingleEndedSwing>(
    { peakCurrent: Math.sqrt((2 * power) / load), peakVoltage: Math.sqrt(2 * power * load) },
    { peakCurrent: amperes, peakVoltage: volts },
  );
}

/**
 * Output power from the peak voltage and the peak current in the load.
 *
 * Formula:   P = Vp·Ip / 2
 * Symbols:   Vp peak voltage [V], Ip peak current [A], P power [W]
 * Valid for: sine, resistive load; Vp ≥ 0, Ip ≥ 0
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   singleEndedPower(volts(212), amperes(42.4e-3)) → 4.4944 W
 */
export function singleEndedPower(peakVoltage: Volts, peakCurrent: Amperes): Result<Watts> {
  const outside = refuseIfNegative({ 'peak voltage': peakVoltage, 'peak current': peakCurrent });
  if (outside) return outside;
  return figure((peakVoltage * peakCurrent) / 2, watts);
}

/**
 * The most a single-ended stage could ever give from its power at rest.
 *
 * Formula:   P = ½·Vak·Ia
 * Symbols:   Vak anode to cathode at rest [V], Ia anode current at rest [A], P ceiling [W]
 * Valid for: ideal class A with a transformer; Vak ≥ 0, Ia ≥ 0
 * Errors:    real pentodes reach 0.45 of the power at rest, triodes 0.20 to 0.25
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); form from memory
 * Example:   singleEndedCeiling(volts(250), amperes(48e-3)) → 6 W
 */
export function singleEndedCeiling(anodeCathode: Volts, restCurrent: Amperes): Result<Watts> {
  const outside = refuseIfNegative({ 'anode voltage': anodeCathode, 'current at rest': restCurrent });
  if (outside) return outside;
  return figure(0.5 * anodeCathode * restCurrent, watts);
}
