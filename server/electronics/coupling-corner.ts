/** Owns the low corner of a coupling capacitor between two stages. */
import type { Farads, Hertz, Ohms } from '../units/si.ts';
import { hertz } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Corner frequency below which a coupling capacitor loses bass.
 *
 * Formula:   f = 1 / (2π·C·(Zout + RL))
 * Symbols:   C coupling capacitor [F], Zout output impedance of the stage before [Ω], RL grid leak with all that stands
 *            across it [Ω], f frequency [Hz]
 * Valid for: C > 0, RL > 0, Zout ≥ 0, both resistive
 * Errors:    leaving out Zout reads up to 17 % high with 220 kΩ grid leaks; for an anode Zout is the load in parallel
 *            with the valve's own resistance (see anode-output-impedance.ts), not the load alone
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   couplingCorner({ capacitance: farads(22e-9), source: ohms(38_460), load: ohms(1e6) }) → 6.9664 Hz
 */
export function couplingCorner(circuit: {
  readonly capacitance: Farads;
  readonly source: Ohms;
  readonly load: Ohms;
}): Result<Hertz> {
  const { capacitance, source, load } = circuit;
  const outside = refuseUnlessPositive({ capacitance, load }) ?? refuseIfNegative({ source });
  if (outside) return outside;
  return figure(1 / (2 * Math.PI * capacitance * (source + load)), hertz);
}
