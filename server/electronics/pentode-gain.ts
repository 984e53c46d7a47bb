/** Owns the gain of a pentode stage. */
import type { Ohms, Ratio, Siemens } from '../units/si.ts';
import { ratio } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Mid-band gain of a pentode stage, as a magnitude: the stage inverts.
 *
 * Formula:   A = gm·(RL ∥ ra)
 * Symbols:   gm transconductance at the operating point [S], RL anode load in parallel with what follows [Ω], ra anode
 *            resistance of the valve [Ω], A gain [1]
 * Valid for: small signal, screen and cathode decoupled; gm > 0, RL > 0, ra > 0
 * Errors:    gm falls with the anode current: below the data sheet's current take less than the data sheet's gm.
 *            A screen without its capacitor makes a second step in the response
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 12 (voltage amplifiers); form from memory
 * Example:   pentodeGain({ transconductance: siemens(2e-3), load: ohms(100_000), anodeResistance: ohms(2.5e6) }) → 192.3077 1
 */
export function pentodeGain(stage: {
  readonly transconductance: Siemens;
  readonly load: Ohms;
  readonly anodeResistance: Ohms;
}): Result<Ratio> {
  const { transconductance, load, anodeResistance } = stage;
  const outside = refuseUnlessPositive({ transconductance, load, 'anode resistance': anodeResistance });
  if (outside) return outside;
  return figure(transconductance / (1 / load + 1 / anodeResistance), ratio);
}
