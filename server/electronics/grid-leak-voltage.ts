/** Owns how far a grid is lifted by a current into it: a leaking capacitor's or the valve's own gas. */
import type { Amperes, Ohms, Volts } from '../units/si.ts';
import { volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Grid voltage from a current through its grid leak.
 *
 * Formula:   Vg = Vgg + Ig·Rg
 * Symbols:   Vgg the grid leak's other end: 0 V or the bias rail [V], Ig current out of the grid's node into the grid leak
 *            [A], Rg grid leak [Ω], Vg grid [V]
 * Valid for: Rg ≥ 0
 * Errors:    gas goes when the valve is pulled, leakage goes when the coupling capacitor is lifted: try both
 * Source:    Ohm's law (definition)
 * Example:   gridVoltageFromCurrent({ current: amperes(5e-6), gridLeak: ohms(470_000) }) → 2.35 V
 */
export function gridVoltageFromCurrent(grid: {
  readonly current: Amperes;
  readonly gridLeak: Ohms;
  readonly gridSupply?: Volts;
}): Result<Volts> {
  const supply: number = grid.gridSupply ?? 0;
  const outside = refuseIfNegative({ 'grid leak': grid.gridLeak });
  if (outside) return outside;
  return figure(supply + grid.current * grid.gridLeak, volts);
}

/**
 * Grid voltage with a leaking coupling capacitor before it.
 *
 * Formula:   Vg = Vgg + (Vp − Vgg)·Rg / (Rg + Rleak)
 * Symbols:   Vgg the grid leak's other end [V], Vp anode that drives it [V], Rg grid leak [Ω], Rleak leakage of the
 *            capacitor as a resistance [Ω], Vg grid [V]
 * Valid for: Rg > 0, Rleak > 0; no grid current: a grid at its cathode's voltage is held there
 * Source:    voltage divider (definition)
 * Example:   gridVoltageFromLeak({ driver: volts(165), gridLeak: ohms(470_000), leakage: ohms(31.8425e6) }) → 2.4 V
 */
export function gridVoltageFromLeak(coupling: {
  readonly driver: Volts;
  readonly gridLeak: Ohms;
  readonly leakage: Ohms;
  readonly gridSupply?: Volts;
}): Result<Volts> {
  const { driver, gridLeak, leakage } = coupling;
  const supply: number = coupling.gridSupply ?? 0;
  const outside = refuseUnlessPositive({ 'grid leak': gridLeak, 'leakage resistance': leakage });
  if (outside) return outside;
  return figure(supply + ((driver - supply) * gridLeak) / (gridLeak + leakage), volts);
}
