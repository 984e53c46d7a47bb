/** Owns the output impedance of a triode stage at its anode. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ohms } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Output impedance of a triode stage at its anode.
 *
 * Formula:   Zout = Ra ∥ (ra + (µ + 1)·Rk), with Rk = 0 where it is bypassed
 * Symbols:   Ra anode load resistor [Ω], ra anode resistance of the valve [Ω], µ amplification factor [1], Rk cathode
 *            resistance without bypass [Ω], Zout output impedance [Ω]
 * Valid for: small signal, mid band; Ra > 0, ra > 0, µ > 0, Rk ≥ 0
 * Errors:    without bypass it is much nearer to Ra: 68 kΩ for a 12AX7 with 100 kΩ and 1.5 kΩ, against 38 kΩ bypassed
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   anodeOutputImpedance({ anodeLoad: ohms(100_000), anodeResistance: ohms(62_500), amplificationFactor: ratio(100) }) → 38461.54 Ω
 */
export function anodeOutputImpedance(stage: {
  readonly anodeLoad: Ohms;
  readonly anodeResistance: Ohms;
  readonly amplificationFactor: Ratio;
  readonly unbypassedCathode?: Ohms;
}): Result<Ohms> {
  const { anodeLoad, anodeResistance, amplificationFactor: mu } = stage;
  const cathode: number = stage.unbypassedCathode ?? 0;
  const outside =
    refuseUnlessPositive({
      'anode load': anodeLoad,
      'anode resistance': anodeResistance,
      'amplification factor': mu,
    }) ?? refuseIfNegative({ 'cathode resistance': cathode });
  if (outside) return outside;
  return figure(1 / (1 / anodeLoad + 1 / (anodeResistance + (mu + 1) * cathode)), ohms);
}
