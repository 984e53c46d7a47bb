/** Owns the voltage a resistor may stand: its power sets one limit, its body the other. */
import type { Ohms, Volts, Watts } from '../units/si.ts';
import { ohms, volts } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Highest continuous voltage across a resistor.
 *
 * Formula:   V = min(√(Pr·R), Vbody)
 * Symbols:   Pr rated power [W], R resistance [Ω], Vbody limit of the body size [V], V working voltage [V]
 * Valid for: Pr > 0, R > 0, Vbody > 0
 * Errors:    above the critical resistance the body rules: a 470 kΩ quarter-watt part stands 250 V, not the 343 V its power would allow
 * Source:    IEC 60115 (rated and limiting element voltage); from memory, unverified
 * Example:   workingVoltage({ rated: watts(0.25), resistance: ohms(470_000), body: volts(250) }) → 250 V
 */
export function workingVoltage(resistor: {
  readonly rated: Watts;
  readonly resistance: Ohms;
  readonly body: Volts;
}): Result<Volts> {
  const { rated, resistance, body } = resistor;
  const outside = refuseUnlessPositive({ 'rated power': rated, resistance, 'voltage limit': body });
  if (outside) return outside;
  return figure(Math.min(Math.sqrt(rated * resistance), body), volts);
}

/**
 * Resistance above which a resistor's body, not its power, limits the voltage.
 *
 * Formula:   Rc = Vbody² / Pr
 * Symbols:   Vbody limit of the body size [V], Pr rated power [W], Rc critical resistance [Ω]
 * Valid for: Vbody > 0, Pr > 0
 * Source:    IEC 60115 (critical resistance); from memory, unverified
 * Example:   criticalResistance(watts(0.25), volts(250)) → 250000 Ω
 */
export function criticalResistance(rated: Watts, body: Volts): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'rated power': rated, 'voltage limit': body });
  if (outside) return outside;
  return figure(body ** 2 / rated, ohms);
}
