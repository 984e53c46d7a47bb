/** Owns the current through one half of an output winding, by the drop over its copper. */
import type { Amperes, Celsius, Ohms, Volts } from '../units/si.ts';
import { amperes } from '../units/si.ts';
import { figure, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** Copper gains this share of its resistance for every kelvin. */
const COPPER_PER_KELVIN = 0.0039;

/**
 * Current through a winding from the direct voltage across it.
 *
 * Formula:   I = ΔV / (Rdc·(1 + 0.0039·ΔT))
 * Symbols:   ΔV voltage from the supply end to the anode end [V], Rdc resistance read cold [Ω], ΔT rise of the copper since
 *            it was read [K, given in °C], I current [A]
 * Valid for: Rdc > 0, −200 K < ΔT; direct current, no signal
 * Errors:    read the resistance unpowered and discharged. A few per cent at best; copper 30 K warmer reads the current
 *            12 % high where ΔT is left out
 * Source:    Ohm's law; temperature coefficient of copper from memory
 * Example:   windingCurrent({ drop: volts(4.9), resistance: ohms(138) }) → 0.0355072 A
 */
export function windingCurrent(winding: {
  readonly drop: Volts;
  readonly resistance: Ohms;
  readonly warming?: Celsius;
}): Result<Amperes> {
  const { drop, resistance } = winding;
  const warming: number = winding.warming ?? 0;
  const outside = refuseUnlessPositive({ resistance });
  if (outside) return outside;
  if (warming <= -200) return refused('copper colder than the rule holds');
  return figure(drop / (resistance * (1 + COPPER_PER_KELVIN * warming)), amperes);
}
