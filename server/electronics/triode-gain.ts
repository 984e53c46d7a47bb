/** Owns the gain of a triode stage with its load in the anode, and the valve resistance that a known gain implies. */
import type { Ohms, Ratio } from '../units/si.ts';
import { ohms, ratio } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Mid-band gain of a triode stage, as a magnitude: the stage inverts.
 *
 * Formula:   A = µ·RL / (ra + RL + (µ + 1)·Rk), with Rk = 0 where it is bypassed
 * Symbols:   µ amplification factor [1], ra anode resistance of the valve [Ω], RL anode load in parallel with what
 *            follows [Ω], Rk cathode resistance without bypass [Ω], A gain [1]
 * Valid for: small signal, mid band; µ > 0, ra > 0, RL > 0, Rk ≥ 0
 * Errors:    µ and ra hold at the operating point only: at 0.5 to 0.9 mA a 12AX7 has 60 to 80 kΩ, not the 62.5 kΩ of
 *            its data sheet at 1.2 mA. It is (µ + 1)·Rk, not µ·Rk
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   triodeGain({ amplificationFactor: ratio(100), anodeResistance: ohms(80_000), load: ohms(149_860), unbypassedCathode: ohms(3300) }) → 26.61055 1
 */
export function triodeGain(stage: {
  readonly amplificationFactor: Ratio;
  readonly anodeResistance: Ohms;
  readonly load: Ohms;
  readonly unbypassedCathode?: Ohms;
}): Result<Ratio> {
  const { amplificationFactor: mu, anodeResistance, load } = stage;
  const cathode: number = stage.unbypassedCathode ?? 0;
  const outside =
    refuseUnlessPositive({ 'amplification factor': mu, 'anode resistance': anodeResistance, load }) ??
    refuseIfNegative({ 'cathode resistance': cathode });
  if (outside) return outside;
  return figure((mu * load) / (anodeResistance + load + (mu + 1) * cathode), ratio);
}

/**
 * Anode resistance of the valve that a bypassed stage's measured gain implies.
 *
 * Formula:   ra = RL·(µ / A − 1)
 * Symbols:   RL anode load in parallel with what follows [Ω], µ amplification factor [1], A gain as a magnitude [1],
 *            ra anode resistance [Ω]
 * Valid for: cathode bypassed; 0 < A < µ
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers), turned round; form from memory
 * Example:   impliedAnodeResistance({ amplificationFactor: ratio(100), gain: ratio(54.5), load: ohms(76_744) }) → 64070.68 Ω
 */
export function impliedAnodeResistance(stage: {
  readonly amplificationFactor: Ratio;
  readonly gain: Ratio;
  readonly load: Ohms;
}): Result<Ohms> {
  const { amplificationFactor: mu, gain, load } = stage;
  const outside = refuseUnlessPositive({ 'amplification factor': mu, gain, load });
  if (outside) return outside;
  if (gain >= mu) return refused('gain not below the amplification factor');
  return figure(load * (mu / gain - 1), ohms);
}
