/** Owns how long a grid takes to come back after it was driven into grid current. */
import type { Farads, Ohms, Seconds } from '../units/si.ts';
import { seconds } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Time constant with which a blocked grid returns to its bias.
 *
 * Formula:   τ = Rg·Cc
 * Symbols:   Rg grid leak with the source in series [Ω], Cc coupling capacitor [F], τ time constant [s]
 * Valid for: Rg > 0, Cc > 0; grid no longer conducting
 * Errors:    after τ a good third of the excursion is left. Above 50 to 100 ms in a hard-driven output stage it is heard as
 *            choking after each loud note
 * Source:    definition of the time constant; the threshold is common practice, no source
 * Example:   blockingRecovery(ohms(220_000), farads(100e-9)) → 0.022 s
 */
export function blockingRecovery(gridLeak: Ohms, coupling: Farads): Result<Seconds> {
  const outside = refuseUnlessPositive({ 'grid leak': gridLeak, capacitance: coupling });
  if (outside) return outside;
  return figure(gridLeak * coupling, seconds);
}
