/** Owns the treble lift of a presence control in a feedback loop, as a variable resistor or as the tail itself. */
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

/**
 * Treble lift of a capacitor from the wiper of a control that is itself the tail of the feedback divider.
 *
 * Formula:   β0 = (Ru + Rl) / (Ru + Rl + Rf); β1 = Ru / (Ru + Rf); zero = 1 / (2π·C·(Rl ∥ (Ru + Rf)));
 *            lowGain = A / (1 + A·β0); highGain = A / (1 + A·β1); pole = zero·highGain / lowGain;
 *            lift = 20·log(highGain / lowGain)
 * Symbols:   A gain without feedback [1], Rf feedback resistor [Ω], Ru from the feedback to the wiper [Ω], Rl from the wiper to
 *            ground [Ω], C from the wiper to ground [F]; zero and pole [Hz], gains [1], lift [dB]
 * Valid for: A real and constant over the band; A > 0, Rf > 0, Rl > 0, C > 0, Ru ≥ 0
 * Errors:    with Ru = 0 it is the plain capacitor across the tail; with the wiper at ground there is no lift at all
 * Source:    nodal analysis (computed)
 * Example:   tappedPresenceShelf({ gain: ratio(120), feedback: ohms(47_000), above: ohms(1000), below: ohms(3700), capacitance: farads(100e-9) }) → zero 463.3 Hz, pole 1576 Hz, lowGain 10.08 1, highGain 34.286 1, lift 10.636 dB
 */
export function tappedPresenceShelf(loop: {
  readonly gain: Ratio;
  readonly feedback: Ohms;
  readonly above: Ohms;
  readonly below: Ohms;
  readonly capacitance: Farads;
}): Result<PresenceShelf> {
  const { gain, feedback, above, below, capacitance } = loop;
  const outside =
    refuseUnlessPositive({ gain, 'feedback resistance': feedback, 'lower arm': below, capacitance }) ??
    refuseIfNegative({ 'upper arm': above });
  if (outside) return outside;
  const rest = above + feedback;
  const zero = (1 / below + 1 / rest) / (2 * Math.PI * capacitance);
  const lowGain = gain / (1 + (gain * (above + below)) / (rest + below));
  const highGain = gain / (1 + (gain * above) / rest);
  return figures<PresenceShelf>(
    {
      zero,
      pole: (zero * highGain) / lowGain,
      lowGain,
      highGain,
      lift: 20 * Math.log10(highGain / lowGain),
    },
    { zero: hertz, pole: hertz, lowGain: ratio, highGain: ratio, lift: decibels },
  );
}
