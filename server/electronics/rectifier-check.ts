/** Owns what a rectifier must stand: inverse voltage, peak current, and how much of each limit is used. */
import type { Amperes, Farads, Ohms, Ratio, Volts } from '../units/si.ts';
import { amperes, ratio, volts } from '../units/si.ts';
import type { RectifierCircuit } from './cold-start-voltage.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** What is usual where nothing better is known. */
export interface PeakCurrentBand {
  readonly low: Amperes;
  readonly high: Amperes;
}

/** Used over allowed, each: above 1 the limit is exceeded. */
export interface RectifierLoading {
  readonly current: Ratio;
  readonly reservoir: Ratio;
  readonly sourceResistance: Ratio;
}

/**
 * Peak inverse voltage on each rectifier of a capacitor-input supply.
 *
 * Formula:   PIV = k·√2·Vrms·(1 + r)·m, with k = 1 for a bridge and 2 otherwise
 * Symbols:   Vrms loaded winding voltage: of one half for a centre tap, of the whole winding otherwise [V], r rise of the
 *            winding without load as a share [1], m mains over nominal [1], PIV [V]
 * Valid for: Vrms > 0, r ≥ 0, m > 0
 * Errors:    with a centre tap it is twice the peak of one half: one half's peak is the half of it. Rise without load and
 *            high mains belong in it
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 30 (rectification); form from memory
 * Example:   peakInverseVoltage({ winding: volts(280), rise: ratio(0), mains: ratio(1), circuit: 'centre-tap' }) → 791.9596 V
 */
export function peakInverseVoltage(supply: {
  readonly winding: Volts;
  readonly rise: Ratio;
  readonly mains: Ratio;
  readonly circuit: RectifierCircuit;
}): Result<Volts> {
  const { winding, rise, mains, circuit } = supply;
  const outside =
    refuseUnlessPositive({ 'winding voltage': winding, 'mains factor': mains }) ??
    refuseIfNegative({ 'no-load rise': rise });
  if (outside) return outside;
  const peaks = circuit === 'bridge' ? 1 : 2;
  return figure(peaks * Math.SQRT2 * winding * (1 + rise) * mains, volts);
}

/**
 * Peak current that each anode of a full-wave rectifier usually passes into a reservoir.
 *
 * Formula:   low = 3.5·Idc; high = 6·Idc
 * Symbols:   Idc direct current drawn [A]; low and high peak [A]
 * Valid for: full-wave, capacitor input, useful load; Idc ≥ 0
 * Errors:    a stiff supply with silicon, or a load of a few milliamperes, peaks higher
 * Source:    computed by time-stepping of a 2 × 280 V supply through a GZ34: 3.5 at 140 mA to 6.4 at 20 mA
 * Example:   usualPeakCurrent(amperes(0.082)) → low 0.287 A, high 0.492 A
 */
export function usualPeakCurrent(loadCurrent: Amperes): Result<PeakCurrentBand> {
  const outside = refuseIfNegative({ 'load current': loadCurrent });
  if (outside) return outside;
  return figures<PeakCurrentBand>(
    { low: 3.5 * loadCurrent, high: 6 * loadCurrent },
    { low: amperes, high: amperes },
  );
}

/**
 * How much of a rectifier's limits of current, reservoir and source resistance a supply uses.
 *
 * Formula:   current = I / Imax; reservoir = C / Cmax; sourceResistance = Rmin / R
 * Symbols:   I direct current and Imax its limit [A], C reservoir and Cmax its limit [F], R source resistance at each anode
 *            (rectifier-source-resistance.ts) and Rmin its least [Ω]; the three shares [1]
 * Valid for: I ≥ 0, C ≥ 0, the others > 0
 * Errors:    a reservoir enlarged beyond the limit is the usual way to lose a valve rectifier; the limit is for the first
 *            capacitor only
 * Source:    the rectifier's data sheet gives the limits; the division is a definition
 * Example:   rectifierLoading({ current: amperes(0.082), reservoir: farads(32e-6), sourceResistance: ohms(140), limits: { current: amperes(0.25), reservoir: farads(60e-6), sourceResistance: ohms(50) } }) → current 0.328 1, reservoir 0.5333333 1, sourceResistance 0.3571429 1
 */
export function rectifierLoading(supply: {
  readonly current: Amperes;
  readonly reservoir: Farads;
  readonly sourceResistance: Ohms;
  readonly limits: {
    readonly current: Amperes;
    readonly reservoir: Farads;
    readonly sourceResistance: Ohms;
  };
}): Result<RectifierLoading> {
  const { current, reservoir, sourceResistance, limits } = supply;
  const outside =
    refuseIfNegative({ current, reservoir }) ??
    refuseUnlessPositive({
      'source resistance': sourceResistance,
      'current limit': limits.current,
      'reservoir limit': limits.reservoir,
      'least source resistance': limits.sourceResistance,
    });
  if (outside) return outside;
  return figures<RectifierLoading>(
    {
      current: current / limits.current,
      reservoir: reservoir / limits.reservoir,
      sourceResistance: limits.sourceResistance / sourceResistance,
    },
    { current: ratio, reservoir: ratio, sourceResistance: ratio },
  );
}
