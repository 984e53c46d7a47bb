/** Owns the level of a response with one zero and one pole, at any frequency. */
import type { Decibels, Hertz } from '../units/si.ts';
import { decibels } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/**
 * Level of a first-order shelf at a frequency, against its level well below both corners.
 *
 * Formula:   L = 10·log10((1 + (f/fz)²) / (1 + (f/fp)²))
 * Symbols:   f frequency [Hz], fz zero [Hz], fp pole [Hz], L level [dB]
 * Valid for: fz > 0, fp > 0, f ≥ 0; zero below pole rises, pole below zero falls
 * Source:    definition of a zero and a pole
 * Example:   shelfLevel({ zero: hertz(372.5), pole: hertz(4436), frequency: hertz(1000) }) → 8.926507 dB
 */
export function shelfLevel(shelf: {
  readonly zero: Hertz;
  readonly pole: Hertz;
  readonly frequency: Hertz;
}): Result<Decibels> {
  const { zero, pole, frequency } = shelf;
  const outside = refuseUnlessPositive({ zero, pole }) ?? refuseIfNegative({ frequency });
  if (outside) return outside;
  const rise = Math.hypot(1, frequency / zero);
  const fall = Math.hypot(1, frequency / pole);
  return figure(20 * Math.log10(rise / fall), decibels);
}
