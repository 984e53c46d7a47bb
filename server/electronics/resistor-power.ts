/** Owns the power turned to heat in a resistance. */
import type { Amperes, Ohms, Volts, Watts } from '../units/si.ts';
import { volts, watts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Power in a resistor from the voltage across it.
 *
 * Formula:   P = V² / R
 * Symbols:   V voltage across the resistor, direct or rms [V], R resistance [Ω], P power [W]
 * Valid for: R > 0
 * Errors:    the resistor's voltage limit is a separate matter (see resistor-working-voltage.ts); for direct and
 *            alternating together put in the root of the sum of squares (heatingVoltage)
 * Source:    Joule's law (definition)
 * Example:   powerFromVoltage(volts(450), ohms(220_000)) → 0.92045454545 W
 */
export function powerFromVoltage(voltage: Volts, resistance: Ohms): Result<Watts> {
  const outside = refuseUnlessPositive({ resistance });
  if (outside) return outside;
  return figure(voltage ** 2 / resistance, watts);
}

/**
 * Power in a resistor from the current through it.
 *
 * Formula:   P = I²·R
 * Symbols:   I current, direct or rms [A], R resistance [Ω], P power [W]
 * Valid for: R ≥ 0
 * Source:    Joule's law (definition)
 * Example:   powerFromCurrent(amperes(22e-3), ohms(1000)) → 0.484 W
 */
export function powerFromCurrent(current: Amperes, resistance: Ohms): Result<Watts> {
  const outside = refuseIfNegative({ resistance });
  if (outside) return outside;
  return figure(current ** 2 * resistance, watts);
}

/**
 * Power from a voltage and the current that it drives.
 *
 * Formula:   P = |V·I|
 * Symbols:   V voltage across the part [V], I current through it [A], P power [W]
 * Valid for: direct current
 * Source:    Joule's law (definition)
 * Example:   powerFromVoltageAndCurrent(volts(250), amperes(48e-3)) → 12 W
 */
export function powerFromVoltageAndCurrent(voltage: Volts, current: Amperes): Result<Watts> {
  return figure(Math.abs(voltage * current), watts);
}

/**
 * The voltage that heats a resistor as a direct and an alternating voltage do together.
 *
 * Formula:   V = √(Vdc² + Vrms²)
 * Symbols:   Vdc direct voltage [V], Vrms alternating voltage, rms [V], V voltage of equal heat [V]
 * Valid for: Vrms ≥ 0
 * Source:    definition of the rms value
 * Example:   heatingVoltage(volts(30), volts(40)) → 50 V
 */
export function heatingVoltage(direct: Volts, alternating: Volts): Result<Volts> {
  const outside = refuseIfNegative({ alternating });
  if (outside) return outside;
  return figure(Math.hypot(direct, alternating), volts);
}
