/** Owns how far a voltmeter's own resistance pulls a reading down. */
import type { Ohms, Ratio, Volts } from '../units/si.ts';
import { ohms, ratio, volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Voltage that stood at a point before a meter was put on it.
 *
 * Formula:   V = Vr·(1 + Rs/Rm)
 * Symbols:   Vr voltage read [V], Rs resistance of the point [Ω], Rm resistance of the meter [Ω], V voltage without it [V]
 * Valid for: Rs ≥ 0, Rm > 0; a point whose source is linear, which a valve near cut-off is not
 * Errors:    voltages on old drawings were often read with 20 kΩ/V, not with 10 MΩ, and are low as printed
 * Source:    voltage divider (definition)
 * Example:   unloadedVoltage({ read: volts(2.4), source: ohms(470_000), meter: ohms(10e6) }) → 2.5128 V
 */
export function unloadedVoltage(reading: {
  readonly read: Volts;
  readonly source: Ohms;
  readonly meter: Ohms;
}): Result<Volts> {
  const { read, source, meter } = reading;
  const outside =
    refuseUnlessPositive({ 'meter resistance': meter }) ?? refuseIfNegative({ 'source resistance': source });
  if (outside) return outside;
  return figure(read * (1 + source / meter), volts);
}

/**
 * Share of the true voltage that a meter's loading takes away.
 *
 * Formula:   s = Rs / (Rs + Rm)
 * Symbols:   Rs resistance of the point [Ω], Rm resistance of the meter [Ω], s share lost [1]
 * Valid for: Rs ≥ 0, Rm > 0
 * Source:    voltage divider (definition)
 * Example:   meterLoadingLoss(ohms(470_000), ohms(10e6)) → 0.04489016237 1
 */
export function meterLoadingLoss(source: Ohms, meter: Ohms): Result<Ratio> {
  const outside =
    refuseUnlessPositive({ 'meter resistance': meter }) ?? refuseIfNegative({ 'source resistance': source });
  if (outside) return outside;
  return figure(source / (source + meter), ratio);
}

/**
 * Resistance of a moving-coil meter on one of its ranges.
 *
 * Formula:   Rm = Vfs·s
 * Symbols:   Vfs full scale of the range, not the reading [V], s ohms for each volt [Ω/V], Rm resistance [Ω]
 * Valid for: Vfs > 0, s > 0
 * Source:    definition of the ohms-per-volt figure
 * Example:   movingCoilResistance(volts(250), ohms(20_000)) → 5000000 Ω
 */
export function movingCoilResistance(fullScale: Volts, ohmsPerVolt: Ohms): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'full scale': fullScale, 'ohms per volt': ohmsPerVolt });
  if (outside) return outside;
  return figure(fullScale * ohmsPerVolt, ohms);
}
