/** Owns the treble lift of a presence control in a feedback loop. */
import type { Decibels, Farads, Hertz, Ohms, Ratio } from '../units/si.ts';
import { decibels, hertz, ratio } from '../units/si.ts';
import { figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface PresenceShelf {
  readonly zero: Hertz;
  readonly pole: Hertz;
  readonly lowGain: Ratio;
  readonly highGain: Ratio;
  readonly lift: Decibels;
}

/**
 * Treble lift of a capacitor, with or without a resistance in series, across the tail of the feedback divider.
 *
 * Formula:   β = Rt / (Rt + Rf); Rq = Rt ∥ Rf; zero = 1 / (2π·C·(Rp + Rq)); lowGain = A / (1 + A·β);
 *            pole = (1 + A·β) / (2π·C·(Rq + Rp·(1 + A·β))); highGain = A / (1 + A·β·Rp / (Rp + Rq));
 *            lift = 20·log(highGain / lowGain)
 * Symbols:   A gain without feedback [1], Rf feedback resistor [Ω], Rt tail resistor [Ω], C capacitor [F], Rp the control's
 *            resistance in series with it, 0 full up [Ω]; zero and pole [Hz], gains [1], lift [dB]
 * Valid for: A real and constant over the band; A > 0, Rf > 0, Rt > 0, C > 0, Rp ≥ 0
 * Errors:    the lift never exceeds 1 + A·β. The output transformer's phase bends real curves, most of all the top
 * Source:    nodal analysis (computed); Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   presenceShelf({ gain: ratio(120), feedback: ohms(47_000), tail: ohms(4700), capacitance: farads(100e-9) }) → zero 372.5 Hz, pole 4436 Hz, lowGain 10.08 1, highGain 120 1, lift 21.52 dB
 */
export function presenceShelf(loop: {
  readonly gain: Ratio;
  readonly feedback: Ohms;
  readonly tail: Ohms;
  readonly capacitance: Farads;
  readonly control?: Ohms;
}): Result<PresenceShelf> {
  const { gain, feedback, tail, capacitance } = loop;
  const control: number = loop.control ?? 0;
  const outside =
    refuseUnlessPositive({ gain, 'feedback resistance': feedback, 'tail resistance': tail, capacitance }) ??
    refuseIfNegative({ 'control resistance': control });
  if (outside) return outside;
  const source = (tail * feedback) / (tail + feedback);
  const loopGain = (gain * tail) / (tail + feedback);
  const lowGain = gain / (1 + loopGain);
  const highGain = gain / (1 + (loopGain * control) / (control + source));
  return figures<PresenceShelf>(
    {
      zero: 1 / (2 * Math.PI * capacitance * (control + source)),
      pole: (1 + loopGain) / (2 * Math.PI * capacitance * (source + control * (1 + loopGain))),
      lowGain,
      highGain,
      lift: 20 * Math.log10(highGain / lowGain),
    },
    { zero: hertz, pole: hertz, lowGain: ratio, highGain: ratio, lift: decibels },
  );
}
