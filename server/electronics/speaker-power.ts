/** Owns power in a loudspeaker or dummy load and the voltage that goes with it. */
import type { Ohms, Volts, Watts } from '../units/si.ts';
import { volts, watts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Power in a load from the alternating voltage on it.
 *
 * Formula:   P = V² / Z
 * Symbols:   V voltage, rms [V], Z impedance [Ω], P power [W]
 * Valid for: Z > 0; sine into a resistive load
 * Errors:    a clipped wave carries up to twice the power of a sine of the same peak, and a meter that responds to the
 *            average misreads it. A loudspeaker's marking is nominal: read into a dummy load
 * Source:    Joule's law (definition)
 * Example:   speakerPower(volts(11.66), ohms(8)) → 16.99445 W
 */
export function speakerPower(rms: Volts, impedance: Ohms): Result<Watts> {
  const outside = refuseUnlessPositive({ impedance });
  if (outside) return outside;
  return figure(rms ** 2 / impedance, watts);
}

/**
 * Alternating voltage that a power makes across a load.
 *
 * Formula:   V = √(P·Z)
 * Symbols:   P power [W], Z impedance [Ω], V voltage, rms [V]
 * Valid for: P ≥ 0, Z > 0; sine into a resistive load
 * Source:    Joule's law (definition)
 * Example:   speakerVoltage(watts(17), ohms(8)) → 11.6619 V
 */
export function speakerVoltage(power: Watts, impedance: Ohms): Result<Volts> {
  const outside = refuseIfNegative({ power }) ?? refuseUnlessPositive({ impedance });
  if (outside) return outside;
  return figure(Math.sqrt(power * impedance), volts);
}
