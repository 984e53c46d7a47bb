/** Owns what feedback does to gain, output impedance and distortion. */
import type { Decibels, Ohms, Ratio } from '../units/si.ts';
import { decibels, ohms, ratio } from '../units/si.ts';
import { figure, figures, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** `factor` divides gain, output impedance and distortion alike; `amount` is the same in decibels. */
export interface NegativeFeedback {
  readonly gain: Ratio;
  readonly factor: Ratio;
  readonly amount: Decibels;
}

/**
 * Gain with negative voltage feedback.
 *
 * Formula:   factor = 1 + β·A; gain = A / factor; amount = 20·log(factor)
 * Symbols:   A gain without feedback, as a magnitude [1], β share of the output fed back [1]; gain with it [1], factor [1],
 *            amount [dB]
 * Valid for: a stable loop, mid band; A > 0, β ≥ 0
 * Errors:    A and β belong to the same tap of the output transformer. Feedback of the wrong polarity makes it squeal
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   withFeedback(ratio(1000), ratio(0.009)) → gain 100 1, factor 10 1, amount 20 dB
 */
export function withFeedback(openGain: Ratio, fraction: Ratio): Result<NegativeFeedback> {
  const outside =
    refuseUnlessPositive({ gain: openGain }) ?? refuseIfNegative({ 'feedback share': fraction });
  if (outside) return outside;
  const factor = 1 + fraction * openGain;
  return figures<NegativeFeedback>(
    { gain: openGain / factor, factor, amount: 20 * Math.log10(factor) },
    { gain: ratio, factor: ratio, amount: decibels },
  );
}

/**
 * Feedback factor from the gains read with the loop open and closed.
 *
 * Formula:   factor = A / A'
 * Symbols:   A gain with the loop open [1], A' gain with it closed [1], factor [1]
 * Valid for: A ≥ A' > 0
 * Errors:    opening the loop changes the load of what it was taken from, a little
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   feedbackFactor(ratio(1000), ratio(100)) → 10 1
 */
export function feedbackFactor(openGain: Ratio, closedGain: Ratio): Result<Ratio> {
  const outside = refuseUnlessPositive({ 'open-loop gain': openGain, 'closed-loop gain': closedGain });
  if (outside) return outside;
  if (closedGain > openGain) return refused('gain rises when the loop is closed');
  return figure(openGain / closedGain, ratio);
}

/**
 * Output impedance with voltage feedback.
 *
 * Formula:   Z' = Z / factor
 * Symbols:   Z output impedance without feedback [Ω], factor 1 + β·A [1], Z' with it [Ω]
 * Valid for: Z ≥ 0, factor ≥ 1; β·A with no load on the output
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   outputImpedanceWithFeedback(ohms(60), ratio(12)) → 5 Ω
 */
export function outputImpedanceWithFeedback(outputImpedance: Ohms, factor: Ratio): Result<Ohms> {
  const outside = refuseIfNegative({ 'output impedance': outputImpedance });
  if (outside) return outside;
  if (factor < 1) return refused('feedback factor below 1');
  return figure(outputImpedance / factor, ohms);
}

/**
 * Distortion with feedback at the same output.
 *
 * Formula:   d' = d / factor
 * Symbols:   d distortion without feedback, as a share [1], factor 1 + β·A [1], d' with it [1]
 * Valid for: d ≥ 0, factor ≥ 1; short of clipping, where feedback can do nothing
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 7 (negative feedback); form from memory
 * Example:   distortionWithFeedback(ratio(0.04), ratio(10)) → 0.004 1
 */
export function distortionWithFeedback(distortion: Ratio, factor: Ratio): Result<Ratio> {
  const outside = refuseIfNegative({ distortion });
  if (outside) return outside;
  if (factor < 1) return refused('feedback factor below 1');
  return figure(distortion / factor, ratio);
}
