/** Owns the leak of a coupling capacitor, found from the grid it lifts. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { amperes, ohms, volts } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** The direct current through the capacitor, and the resistance that passes it. */
export interface Leakage {
  readonly current: Amperes;
  readonly resistance: Ohms;
}

/**
 * Leakage resistance of a coupling capacitor from the voltage it puts on the next grid.
 *
 * Formula:   current = (Vg − Vgg) / Rg; resistance = (Vp − Vg) / current
 * Symbols:   Vg grid [V], Vgg the grid leak's other end: 0 V or the bias rail [V], Rg grid leak [Ω], Vp anode that drives
 *            it [V], current [A], resistance [Ω]
 * Valid for: Vgg < Vg < Vp, Rg > 0; all by a meter that does not load the grid
 * Errors:    a 10 MΩ meter on the grid reads low by Rg/(Rg + 10 MΩ): 2 % at 220 kΩ, 4.5 % at 470 kΩ, 9 % at 1 MΩ (see
 *            meter-loading.ts). A gassy valve lifts its grid as well: lift the capacitor's end to tell one from the other
 * Source:    Ohm's law (definition)
 * Example:   leakageResistance({ driver: volts(165), grid: volts(2.4), gridLeak: ohms(470_000) }) → current 5.106383e-6 A, resistance 31842500 Ω
 */
export function leakageResistance(coupling: {
  readonly driver: Volts;
  readonly grid: Volts;
  readonly gridLeak: Ohms;
  readonly gridSupply?: Volts;
}): Result<Leakage> {
  const { driver, grid, gridLeak, gridSupply = volts(0) } = coupling;
  const outside = refuseUnlessPositive({ 'grid leak': gridLeak });
  if (outside) return outside;
  if (grid <= gridSupply) return refused('no leak current');
  if (driver <= grid) return refused('driver not above the grid');
  const current = (grid - gridSupply) / gridLeak;
  return figures<Leakage>(
    { current, resistance: (driver - grid) / current },
    { current: amperes, resistance: ohms },
  );
}
