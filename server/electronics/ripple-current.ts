/** Owns the alternating current through a reservoir capacitor and the heat it makes there. */
import type { Amperes, Ohms, Watts } from '../units/si.ts';
import { amperes, watts } from '../units/si.ts';
import { figure, figures, refuseIfNegative } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** What is usual where nothing better is known. */
export interface RippleCurrentBand {
  readonly low: Amperes;
  readonly high: Amperes;
}

/**
 * Ripple current in a reservoir from the rms current of the rectifier.
 *
 * Formula:   Ic = √(Irms² − Idc²)
 * Symbols:   Irms current of the rectifier, rms [A], Idc direct current drawn [A], Ic ripple current, rms [A]
 * Valid for: Irms ≥ Idc ≥ 0; a load that draws direct current only
 * Source:    definition of the rms value
 * Example:   reservoirRippleCurrent(amperes(0.1478), amperes(0.082)) → 0.1229668 A
 */
export function reservoirRippleCurrent(rectifierRms: Amperes, loadCurrent: Amperes): Result<Amperes> {
  const outside = refuseIfNegative({ 'rectifier current': rectifierRms, 'load current': loadCurrent });
  if (outside) return outside;
  if (rectifierRms < loadCurrent) return refused('rms current below the direct current');
  return figure(Math.sqrt(rectifierRms ** 2 - loadCurrent ** 2), amperes);
}

/**
 * Ripple current that a reservoir after a full-wave rectifier usually carries.
 *
 * Formula:   low = 1.4·Idc; high = 1.7·Idc
 * Symbols:   Idc direct current drawn [A]; low and high, rms [A]
 * Valid for: full-wave, capacitor input, valve-amplifier supplies at their useful load; Idc ≥ 0
 * Errors:    a rating holds at one frequency and temperature, often 100 Hz and 85 or 105 °C: compare like with like
 * Source:    computed by time-stepping of common supplies (1.5 for 82 mA from 2 × 280 V through a GZ34); the band is from memory
 * Example:   usualRippleCurrent(amperes(0.082)) → low 0.1148 A, high 0.1394 A
 */
export function usualRippleCurrent(loadCurrent: Amperes): Result<RippleCurrentBand> {
  const outside = refuseIfNegative({ 'load current': loadCurrent });
  if (outside) return outside;
  return figures<RippleCurrentBand>(
    { low: 1.4 * loadCurrent, high: 1.7 * loadCurrent },
    { low: amperes, high: amperes },
  );
}

/**
 * Heat in a capacitor's series resistance.
 *
 * Formula:   P = Ic²·ESR
 * Symbols:   Ic ripple current, rms [A], ESR series resistance at the ripple's frequency [Ω], P heat [W]
 * Valid for: ESR ≥ 0
 * Source:    Joule's law (definition)
 * Example:   seriesResistanceHeat(amperes(0.123), ohms(4.2)) → 0.0635418 W
 */
export function seriesResistanceHeat(rippleCurrent: Amperes, seriesResistance: Ohms): Result<Watts> {
  const outside = refuseIfNegative({ 'series resistance': seriesResistance });
  if (outside) return outside;
  return figure(rippleCurrent ** 2 * seriesResistance, watts);
}
