/** Owns the current into a screen grid and the heat on it. */
import type { Amperes, Ohms, Volts, Watts } from '../units/si.ts';
import { amperes, watts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Screen current from the drop over the screen's own resistor.
 *
 * Formula:   Ig2 = (Vs − Vg2) / Rg2
 * Symbols:   Vs supply end of the resistor [V], Vg2 screen [V], Rg2 screen resistor of one valve [Ω], Ig2 current [A]
 * Valid for: Rg2 > 0; negative where the screen gives current back (refused as "screen above its supply")
 * Errors:    a resistor shared by n screens carries the sum; an open resistor reads as a low screen with almost no anode current
 * Source:    Ohm's law (definition)
 * Example:   screenCurrent({ supply: volts(446), screen: volts(440.9), resistor: ohms(1000) }) → 0.0051 A
 */
export function screenCurrent(circuit: {
  readonly supply: Volts;
  readonly screen: Volts;
  readonly resistor: Ohms;
}): Result<Amperes> {
  const { supply, screen, resistor } = circuit;
  const outside = refuseUnlessPositive({ resistance: resistor });
  if (outside) return outside;
  if (screen > supply) return refused('screen above its supply');
  return figure((supply - screen) / resistor, amperes);
}

/**
 * Screen dissipation of one valve.
 *
 * Formula:   Pg2 = (Vg2 − Vk)·Ig2
 * Symbols:   Vg2 screen to chassis [V], Vk cathode to chassis [V], Ig2 screen current [A], Pg2 dissipation [W]
 * Valid for: direct current; Vg2 ≥ Vk, Ig2 ≥ 0
 * Errors:    at full drive the screen current rises three to five times: judge the screen and its resistor there too
 * Source:    definition; Radiotron Designer's Handbook, 4th ed., chapter 13 (power amplifiers); from memory
 * Example:   screenDissipation({ screen: volts(250), cathode: volts(7.22), screenCurrent: amperes(5.5e-3) }) → 1.33529 W
 */
export function screenDissipation(valve: {
  readonly screen: Volts;
  readonly cathode: Volts;
  readonly screenCurrent: Amperes;
}): Result<Watts> {
  const outside = refuseIfNegative({ 'screen current': valve.screenCurrent });
  if (outside) return outside;
  if (valve.screen < valve.cathode) return refused('screen below cathode');
  return figure((valve.screen - valve.cathode) * valve.screenCurrent, watts);
}
