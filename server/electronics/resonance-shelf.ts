/** Owns the bass lift of a resonance (bass) control in a feedback loop. */
import type { Decibels, Farads, Hertz, Ohms, Ratio } from '../units/si.ts';
import { decibels, hertz, ratio } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface ResonanceShelf {
  readonly zero: Hertz;
  readonly pole: Hertz;
  readonly lowGain: Ratio;
  readonly highGain: Ratio;
  readonly lift: Decibels;
}

/**
 * Bass lift of a control, with a capacitor across it, in series with the feedback resistor.
 *
 * Formula:   lowGain = A / (1 + A·Rt / (Rt + Rf + Rp)); highGain = A / (1 + A·Rt / (Rt + Rf));
 *            zero = 1 / (2π·C·(Rp ∥ (Rt + Rf))); pole = (1 + Rp / (Rt + Rf + A·Rt)) / (2π·Rp·C);
 *            lift = 20·log(lowGain / highGain)
 * Symbols:   A gain without feedback [1], Rf feedback resistor [Ω], Rt tail resistor [Ω], Rp the control's resistance [Ω], C
 *            capacitor across it [F]; zero, above the pole, and pole [Hz], gains [1], lift of the bass [dB]
 * Valid for: A real and constant over the band; all > 0
 * Errors:    the output transformer and the loudspeaker's own resonance bend real curves
 * Source:    nodal analysis (computed); Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   resonanceShelf({ gain: ratio(120), feedback: ohms(47_000), tail: ohms(4700), control: ohms(1e6), capacitance: farads(4.7e-9) }) → zero 688.8 Hz, pole 88.862 Hz, lowGain 78.111 1, highGain 10.08 1, lift 17.788 dB
 */
export function resonanceShelf(loop: {
  readonly gain: Ratio;
  readonly feedback: Ohms;
  readonly tail: Ohms;
  readonly control: Ohms;
  readonly capacitance: Farads;
}): Result<ResonanceShelf> {
  const { gain, feedback, tail, control, capacitance } = loop;
  const outside = refuseUnlessPositive({
    gain,
    'feedback resistance': feedback,
    'tail resistance': tail,
    'control resistance': control,
    capacitance,
  });
  if (outside) return outside;
  const divider = tail + feedback;
  const lowGain = gain / (1 + (gain * tail) / (divider + control));
  const highGain = gain / (1 + (gain * tail) / divider);
  return figures<ResonanceShelf>(
    {
      zero: (1 / control + 1 / divider) / (2 * Math.PI * capacitance),
      pole: (1 + control / (divider + gain * tail)) / (2 * Math.PI * control * capacitance),
      lowGain,
      highGain,
      lift: 20 * Math.log10(lowGain / highGain),
    },
    { zero: hertz, pole: hertz, lowGain: ratio, highGain: ratio, lift: decibels },
  );
}
