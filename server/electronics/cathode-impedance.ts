/** Owns the resistance seen looking up into a valve's cathode. */
import type { Ohms, Ratio, Siemens } from '../units/si.ts';
import { ohms } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Resistance into the cathode of a triode, its own cathode resistor not counted.
 *
 * Formula:   r'k = (ra + RL) / (µ + 1)
 * Symbols:   ra anode resistance of the valve [Ω], RL anode load in parallel with what follows, 0 for a follower [Ω],
 *            µ amplification factor [1], r'k resistance [Ω]
 * Valid for: small signal; ra > 0, RL ≥ 0, µ > 0
 * Errors:    the anode load counts: with 91 kΩ a 12AX7 shows 1.5 kΩ, not the 625 Ω of 1/gm
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   triodeCathodeImpedance({ anodeResistance: ohms(62_500), load: ohms(90_909.0909), amplificationFactor: ratio(100) }) → 1518.9019 Ω
 */
export function triodeCathodeImpedance(stage: {
  readonly anodeResistance: Ohms;
  readonly load: Ohms;
  readonly amplificationFactor: Ratio;
}): Result<Ohms> {
  const { anodeResistance, load, amplificationFactor: mu } = stage;
  const outside =
    refuseUnlessPositive({ 'anode resistance': anodeResistance, 'amplification factor': mu }) ??
    refuseIfNegative({ load });
  if (outside) return outside;
  return figure((anodeResistance + load) / (mu + 1), ohms);
}

/**
 * Resistance into the cathode of a pentode or beam tetrode whose screen is decoupled.
 *
 * Formula:   r'k = 1 / (gm·(1 + Ig2/Ia))
 * Symbols:   gm transconductance to the anode [S], Ig2/Ia screen current for each ampere of anode current [1],
 *            r'k resistance [Ω]
 * Valid for: anode load much smaller than the valve's anode resistance; gm > 0, Ig2/Ia ≥ 0
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   pentodeCathodeImpedance({ transconductance: siemens(11.3e-3), screenToAnode: ratio(0.1146) }) → 79.39671 Ω
 */
export function pentodeCathodeImpedance(stage: {
  readonly transconductance: Siemens;
  readonly screenToAnode: Ratio;
}): Result<Ohms> {
  const { transconductance, screenToAnode } = stage;
  const outside =
    refuseUnlessPositive({ transconductance }) ?? refuseIfNegative({ 'screen share': screenToAnode });
  if (outside) return outside;
  return figure(1 / (transconductance * (1 + screenToAnode)), ohms);
}
