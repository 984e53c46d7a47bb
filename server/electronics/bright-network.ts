/** Owns the treble lift of a capacitor across the upper arm of a pot or a divider. */
import type { Decibels, Farads, Hertz, Ohms, Ratio } from '../units/si.ts';
import { decibels, hertz, ratio } from '../units/si.ts';
import { figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface BrightNetwork {
  readonly zero: Hertz;
  readonly pole: Hertz;
  readonly lowGain: Ratio;
  readonly highGain: Ratio;
  readonly step: Decibels;
}

/**
 * Treble lift of a capacitor, with or without a resistor in series, across the upper arm of a volume pot or a divider.
 *
 * Formula:   zero = 1 / (2π·C·(Rt + Rs)); pole = 1 / (2π·C·(Rs + Rt ∥ Rb)); lowGain = Rb / (Rt + Rb);
 *            highGain = Rb / (Rb + Rt ∥ Rs); step = 20·log(highGain / lowGain)
 * Symbols:   Rt upper arm [Ω], Rb lower arm in parallel with what follows [Ω], C capacitor [F], Rs resistor in series with
 *            it [Ω]; zero and pole [Hz], gains well below and well above them [1], step [dB]
 * Valid for: source resistance much smaller than Rt; Rt > 0, Rb > 0, C > 0, Rs ≥ 0. With the pot full up Rt is nothing
 *            and the lift is gone. A treble peaker across a fixed resistor between stages is the same network
 * Errors:    a logarithmic pot at half turn has only 10 to 15 % of its resistance in the lower arm
 * Source:    nodal analysis (computed)
 * Example:   brightNetwork({ upper: ohms(900_000), lower: ohms(100_000), capacitance: farads(120e-12), series: ohms(150_000) }) → zero 1263.1 Hz, pole 5526.2 Hz, lowGain 0.1 1, highGain 0.4375 1, step 12.82 dB
 */
export function brightNetwork(network: {
  readonly upper: Ohms;
  readonly lower: Ohms;
  readonly capacitance: Farads;
  readonly series?: Ohms;
}): Result<BrightNetwork> {
  const { upper, lower, capacitance } = network;
  const series: number = network.series ?? 0;
  const outside =
    refuseUnlessPositive({ 'upper arm': upper, 'lower arm': lower, capacitance }) ??
    refuseIfNegative({ 'series resistance': series });
  if (outside) return outside;
  const lowGain = lower / (upper + lower);
  const highGain = lower / (lower + (upper * series) / (upper + series));
  return figures<BrightNetwork>(
    {
      zero: 1 / (2 * Math.PI * capacitance * (upper + series)),
      pole: 1 / (2 * Math.PI * capacitance * (series + (upper * lower) / (upper + lower))),
      lowGain,
      highGain,
      step: 20 * Math.log10(highGain / lowGain),
    },
    { zero: hertz, pole: hertz, lowGain: ratio, highGain: ratio, step: decibels },
  );
}
