/** Owns what a mains transformer puts in series with its rectifier, from its windings or from how far its volts sag. */
import { type Amperes, type Ohms, ohms, type Ratio, ratio, type Volts, volts } from '../../units/si.ts';
import { figure } from '../domain.ts';
import { type Result, refused } from '../result.ts';

/**
 * Source resistance of a winding that charges a reservoir.
 *
 * Formula:   Rs = Rsec + (Vsec / Vpri)² · Rpri + Radded
 * Symbols:   Rsec resistance of the winding in the charging path (one half for full-wave) [Ω], Rpri primary [Ω],
 *            Vsec/Vpri turns ratio of the same half to the primary [1], Radded resistor before the rectifier [Ω], Rs [Ω]
 * Valid for: Rsec, Rpri, Radded ≥ 0, ratio > 0; otherwise refused as "negative resistance" or "non-positive ratio"
 * Errors:    leakage inductance is left out; copper is 20 to 25 % higher warm than cold
 * Source:    F. Langford-Smith (ed.), Radiotron Designer's Handbook, 4th edition, chapter 30; from memory, unverified
 * Example:   chargingResistance({ secondary: ohms(95), primary: ohms(20), ratio: ratio(1.217), added: ohms(0) }) → 124.622 Ω
 */
export function chargingResistance(path: {
  readonly secondary: Ohms;
  readonly primary: Ohms;
  readonly ratio: Ratio;
  readonly added: Ohms;
}): Result<Ohms> {
  const { secondary, primary, added } = path;
  if (secondary < 0 || primary < 0 || added < 0) return refused('negative resistance');
  if (!(path.ratio > 0)) return refused('non-positive ratio');
  return figure(secondary + path.ratio ** 2 * primary + added, ohms);
}

/**
 * Resistance of a winding from its volts with and without load.
 *
 * Formula:   R = (V0 − V1) / I
 * Symbols:   V0 off load [V r.m.s.], V1 at the load current I [V r.m.s., A r.m.s.], R [Ω]
 * Valid for: resistive load current, V0 ≥ V1 > 0, I > 0; otherwise refused as "rises under load" or "non-positive current"
 * Errors:    a rectifier's current is not a sine: its r.m.s. is 1.5 to 2 times the direct current, which this does not know
 * Source:    Ohm's law
 * Example:   resistanceFromRegulation(volts(297), volts(280), amperes(0.15)) → 113.3333 Ω
 */
export function resistanceFromRegulation(open: Volts, loaded: Volts, current: Amperes): Result<Ohms> {
  if (!(current > 0)) return refused('non-positive current');
  if (!(loaded > 0) || open < loaded) return refused('rises under load');
  return figure((open - loaded) / current, ohms);
}

/**
 * Regulation of a winding.
 *
 * Formula:   r = (V0 − V1) / V1
 * Symbols:   V0 off load [V r.m.s.], V1 at full load [V r.m.s.], r [1]
 * Valid for: V0 ≥ V1 > 0; otherwise refused as "rises under load"
 * Errors:    none beyond the meter's
 * Source:    definition
 * Example:   windingRegulation(volts(297), volts(280)) → 0.0607143 1
 */
export function windingRegulation(open: Volts, loaded: Volts): Result<Ratio> {
  if (!(loaded > 0) || open < loaded) return refused('rises under load');
  return figure((open - loaded) / loaded, ratio);
}

/**
 * Off-load volts of a winding from its rated volts and its regulation.
 *
 * Formula:   V0 = V1 · (1 + r)
 * Symbols:   V1 at full load [V r.m.s.], r regulation [1] (0.05 to 0.15 for amplifier transformers), V0 [V r.m.s.]
 * Valid for: V1 > 0, r ≥ 0; otherwise refused as "non-positive voltage" or "negative regulation"
 * Errors:    those of the assumed regulation
 * Source:    definition
 * Example:   openCircuitVoltage(volts(280), ratio(0.06)) → 296.8 V
 */
export function openCircuitVoltage(loaded: Volts, regulation: Ratio): Result<Volts> {
  if (!(loaded > 0)) return refused('non-positive voltage');
  if (regulation < 0) return refused('negative regulation');
  return figure(loaded * (1 + regulation), volts);
}
