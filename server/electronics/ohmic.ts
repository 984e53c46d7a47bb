/** Owns Ohm's law in its three forms. Signs are kept: a drop read the other way round is a current the other way round. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { amperes, ohms, volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Current through a resistance from the voltage across it.
 *
 * Formula:   I = V / R
 * Symbols:   V voltage across the resistance [V], R resistance [Ω], I current [A]
 * Valid for: R > 0, direct current or rms of one waveform
 * Errors:    an old composition resistor stands 10 to 20 % off its marking: measure it, or expect the current to be as far off
 * Source:    Ohm's law (definition)
 * Example:   currentThrough(volts(19.7), ohms(270)) → 0.07296296296 A
 */
export function currentThrough(voltage: Volts, resistance: Ohms): Result<Amperes> {
  const outside = refuseUnlessPositive({ resistance });
  if (outside) return outside;
  return figure(voltage / resistance, amperes);
}

/**
 * Voltage across a resistance from the current through it.
 *
 * Formula:   V = I·R
 * Symbols:   I current [A], R resistance [Ω], V voltage [V]
 * Valid for: R ≥ 0, direct current or rms of one waveform
 * Source:    Ohm's law (definition)
 * Example:   voltageAcross(amperes(0.86e-3), ohms(1500)) → 1.29 V
 */
export function voltageAcross(current: Amperes, resistance: Ohms): Result<Volts> {
  const outside = refuseIfNegative({ resistance });
  if (outside) return outside;
  return figure(current * resistance, volts);
}

/**
 * Resistance that a voltage and a current read on it imply.
 *
 * Formula:   R = |V| / |I|
 * Symbols:   V voltage across the part [V], I current through it [A], R resistance [Ω]
 * Valid for: I ≠ 0; both read on the same part at the same time
 * Errors:    no current is refused as "no current": an open resistor has no figure, only a lower bound
 * Source:    Ohm's law (definition)
 * Example:   impliedResistance(volts(136), amperes(0.7866666667e-3)) → 172881.356 Ω
 */
export function impliedResistance(voltage: Volts, current: Amperes): Result<Ohms> {
  if (current === 0) return refused('no current');
  return figure(Math.abs(voltage) / Math.abs(current), ohms);
}
