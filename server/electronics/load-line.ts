/** Owns the current that a load line allows at a given voltage. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { amperes } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Anode current on the direct-current load line of a stage.
 *
 * Formula:   Ia = (Vb − Vak) / (Ra + Rk)
 * Symbols:   Vb supply [V], Vak anode to cathode [V], Ra anode load [Ω], Rk cathode resistor, 0 for fixed bias [Ω], Ia
 *            anode current [A]
 * Valid for: Ra + Rk > 0, Vak ≤ Vb; a triode, whose cathode carries the anode current alone
 * Errors:    in an output stage Ra is the resistance of the winding's copper, not the reflected load
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   loadLineCurrent({ supply: volts(330), anodeCathode: volts(220.97), anodeLoad: ohms(100_000), cathodeResistor: ohms(1500) }) → 1.07419e-3 A
 */
export function loadLineCurrent(stage: {
  readonly supply: Volts;
  readonly anodeCathode: Volts;
  readonly anodeLoad: Ohms;
  readonly cathodeResistor?: Ohms;
}): Result<Amperes> {
  const { supply, anodeCathode, anodeLoad } = stage;
  const cathode: number = stage.cathodeResistor ?? 0;
  const outside =
    refuseIfNegative({ 'anode load': anodeLoad, 'cathode resistance': cathode }) ??
    refuseUnlessPositive({ resistance: anodeLoad + cathode });
  if (outside) return outside;
  if (anodeCathode > supply) return refused('anode above the supply');
  return figure((supply - anodeCathode) / (anodeLoad + cathode), amperes);
}

/**
 * Anode current on the signal's load line through the point of rest.
 *
 * Formula:   Ia = Ia0 − (Vak − Vak0) / RL
 * Symbols:   Vak0 anode to cathode at rest [V], Ia0 anode current at rest [A], Vak anode to cathode at the moment asked
 *            for [V], RL load for the signal: anode load in parallel with what follows, or the reflected load of a valve
 *            [Ω], Ia anode current [A]
 * Valid for: RL > 0, resistive; refused as "below cut-off" where the line would need a negative current
 * Errors:    with an output transformer the anode swings above the supply: the line does not end there
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   signalLineCurrent({ restVoltage: volts(250), restCurrent: amperes(45e-3), load: ohms(5000), voltage: volts(50) }) → 0.085 A
 */
export function signalLineCurrent(stage: {
  readonly restVoltage: Volts;
  readonly restCurrent: Amperes;
  readonly load: Ohms;
  readonly voltage: Volts;
}): Result<Amperes> {
  const { restVoltage, restCurrent, load, voltage } = stage;
  const outside = refuseUnlessPositive({ load }) ?? refuseIfNegative({ 'current at rest': restCurrent });
  if (outside) return outside;
  const current = restCurrent - (voltage - restVoltage) / load;
  if (current < 0) return refused('below cut-off');
  return figure(current, amperes);
}
