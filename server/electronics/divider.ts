/** Owns a voltage divider, with or without a load on it. */
import type { Ohms, Ratio, Volts } from '../units/si.ts';
import { ohms, ratio, volts } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface Divider {
  readonly fraction: Ratio;
  readonly outputImpedance: Ohms;
}

/**
 * Share of the input that a divider passes on, and the impedance behind its output.
 *
 * Formula:   fraction = R2' / (R1 + R2'); outputImpedance = R1 ∥ R2'; R2' = R2 ∥ RL
 * Symbols:   R1 upper arm, source included [Ω], R2 lower arm [Ω], RL load on the output [Ω]; fraction [1],
 *            outputImpedance [Ω]
 * Valid for: R1 ≥ 0, R2 ≥ 0, R1 + R2 > 0, RL > 0 where there is one
 * Errors:    the grid leak or the next pot is the load: without it the share reads high. Large arms hiss, and lose treble
 *            into the next grid
 * Source:    voltage divider (definition)
 * Example:   divider({ upper: ohms(900_000), lower: ohms(100_000) }) → fraction 0.1 1, outputImpedance 90000 Ω
 */
export function divider(arms: {
  readonly upper: Ohms;
  readonly lower: Ohms;
  readonly load?: Ohms;
}): Result<Divider> {
  const { upper, lower, load } = arms;
  const outside =
    refuseIfNegative({ 'upper arm': upper, 'lower arm': lower }) ??
    (load === undefined ? undefined : refuseUnlessPositive({ load }));
  if (outside) return outside;
  const loaded = load === undefined ? lower : (lower * load) / (lower + load);
  const whole = refuseUnlessPositive({ resistance: upper + loaded });
  if (whole) return whole;
  return figures<Divider>(
    { fraction: loaded / (upper + loaded), outputImpedance: (upper * loaded) / (upper + loaded) },
    { fraction: ratio, outputImpedance: ohms },
  );
}

/**
 * Voltage at the output of a divider between two voltages.
 *
 * Formula:   V = V2 + (V1 − V2)·R2 / (R1 + R2)
 * Symbols:   V1 upper end [V], V2 lower end, 0 where it is chassis [V], R1 upper arm [Ω], R2 lower arm [Ω], V output [V]
 * Valid for: R1 ≥ 0, R2 ≥ 0, R1 + R2 > 0; no load
 * Source:    voltage divider (definition)
 * Example:   dividedVoltage({ top: volts(300), upper: ohms(220_000), lower: ohms(47_000) }) → 52.80899 V
 */
export function dividedVoltage(arms: {
  readonly top: Volts;
  readonly bottom?: Volts;
  readonly upper: Ohms;
  readonly lower: Ohms;
}): Result<Volts> {
  const { top, upper, lower } = arms;
  const bottom: number = arms.bottom ?? 0;
  const outside =
    refuseIfNegative({ 'upper arm': upper, 'lower arm': lower }) ??
    refuseUnlessPositive({ resistance: upper + lower });
  if (outside) return outside;
  return figure(bottom + ((top - bottom) * lower) / (upper + lower), volts);
}
