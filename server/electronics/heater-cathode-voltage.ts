/** Owns the voltage between a cathode and its heater. */
import type { Volts } from '../units/si.ts';
import { volts } from '../units/si.ts';
import { figure } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Voltage between a cathode and its heater, without its sign.
 *
 * Formula:   Vhk = |Vk − Vh|
 * Symbols:   Vk cathode [V], Vh what the heater is referred to: 0 V at an earthed centre tap, or the elevation [V], Vhk [V]
 * Valid for: any voltages; the heater's own alternating 6.3 V is left out
 * Errors:    a cathodyne or a follower stands at 60 to 150 V and passes the 90 or 100 V of some types; a heater whose
 *            centre tap has come off stands anywhere
 * Source:    definition
 * Example:   heaterCathodeVoltage(volts(142), volts(40)) → 102 V
 */
export function heaterCathodeVoltage(cathode: Volts, heater: Volts): Result<Volts> {
  return figure(Math.abs(cathode - heater), volts);
}
