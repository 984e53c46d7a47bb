/** Owns the range of a fixed-bias supply over its control, and what it does when the wiper goes open. */
import type { Ohms, Ratio, Volts } from '../units/si.ts';
import { volts } from '../units/si.ts';
import { figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Where the control sits: `wiper` feeds the grids from its wiper; `rheostat-to-ground` lies below the output, and the
 * grids hang on its upper end; `rheostat-in-series` lies between the supply and the output.
 */
export type BiasControl = 'wiper' | 'rheostat-to-ground' | 'rheostat-in-series';

/** All negative or zero. `weakest` is the end nearest to 0 V, `strongest` the most negative one. */
export interface BiasRange {
  readonly peak: Volts;
  readonly weakest: Volts;
  readonly strongest: Volts;
  readonly wiperOpen: Volts;
}

/**
 * Bias voltage at both ends of its control, and with the control's wiper open.
 *
 * Formula:   peak = −√2·Vtap·m; R = Rs + Rv + Rt; wiper: weakest = peak·Rt/R, strongest = peak·(Rt + Rv)/R, wiperOpen = 0;
 *            rheostat to ground: weakest = peak·Rt/(Rs + Rt), strongest = peak·(Rt + Rv)/R, wiperOpen = peak;
 *            rheostat in series: weakest = peak·Rt/R, strongest = peak·Rt/(Rs + Rt), wiperOpen = 0
 * Symbols:   Vtap alternating voltage of the bias tap [V], m mains over nominal [1], Rs resistor from the rectifier [Ω], Rv
 *            control [Ω], Rt resistor to ground [Ω]; the four voltages [V]
 * Valid for: half-wave rectifier into a capacitor, divider not loaded; Vtap > 0, m > 0, Rs ≥ 0, Rv > 0, Rt ≥ 0, sum > 0
 * Errors:    with the wiper open the grids must go more negative, never to 0 V, where the output valves destroy
 *            themselves: of the three only the rheostat to ground does that by itself. Leaking grids load the divider
 * Source:    voltage divider (definition); common practice, no source
 * Example:   biasRange({ tap: volts(45), mains: ratio(1.04), series: ohms(15_000), control: ohms(25_000), tail: ohms(27_000), arrangement: 'wiper' }) → peak -66.18519 V, weakest -26.67165 V, strongest -51.36761 V, wiperOpen 0 V
 */
export function biasRange(supply: {
  readonly tap: Volts;
  readonly mains: Ratio;
  readonly series: Ohms;
  readonly control: Ohms;
  readonly tail: Ohms;
  readonly arrangement: BiasControl;
}): Result<BiasRange> {
  const { tap, mains, series, control, tail, arrangement } = supply;
  const outside =
    refuseUnlessPositive({ 'tap voltage': tap, 'mains factor': mains, 'control resistance': control }) ??
    refuseIfNegative({ 'series resistance': series, 'tail resistance': tail }) ??
    refuseUnlessPositive({ resistance: series + tail });
  if (outside) return outside;
  const peak = -Math.SQRT2 * tap * mains;
  const whole = series + control + tail;
  const inSeries = arrangement === 'rheostat-in-series';
  const toGround = arrangement === 'rheostat-to-ground';
  return figures<BiasRange>(
    {
      peak,
      weakest: (peak * tail) / (toGround ? series + tail : whole),
      strongest: inSeries ? (peak * tail) / (series + tail) : (peak * (tail + control)) / whole,
      wiperOpen: toGround ? peak : 0,
    },
    { peak: volts, weakest: volts, strongest: volts, wiperOpen: volts },
  );
}
