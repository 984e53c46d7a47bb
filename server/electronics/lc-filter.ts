/** Owns how far a choke and a capacitor smooth the ripple. */
import type { Decibels, Farads, Henries, Hertz, Ratio } from '../units/si.ts';
import { decibels, hertz, ratio } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/** `resonance` must lie far below the ripple and below the lowest note. */
export interface LcFilter {
  readonly attenuation: Ratio;
  readonly level: Decibels;
  readonly resonance: Hertz;
}

/**
 * Attenuation of ripple by a choke into a smoothing capacitor.
 *
 * Formula:   attenuation = ω²·L·C − 1; level = −20·log(attenuation); resonance = 1 / (2π·√(L·C)); ω = 2π·f
 * Symbols:   L inductance at the direct current it carries [H], C smoothing capacitor [F], f ripple frequency [Hz];
 *            attenuation [1], level [dB], resonance [Hz]
 * Valid for: ω²·L·C > 2, otherwise refused as "too near resonance"; copper resistance left out
 * Errors:    a choke's inductance falls with direct current: its marking holds at one current only
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum); form from memory
 * Example:   lcFilter({ inductance: henries(10), capacitance: farads(47e-6), frequency: hertz(100) }) → attenuation 184.5486 1, level -45.322 dB, resonance 7.3413 Hz
 */
export function lcFilter(section: {
  readonly inductance: Henries;
  readonly capacitance: Farads;
  readonly frequency: Hertz;
}): Result<LcFilter> {
  const { inductance, capacitance, frequency } = section;
  const outside = refuseUnlessPositive({ inductance, capacitance, frequency });
  if (outside) return outside;
  const reactances = (2 * Math.PI * frequency) ** 2 * inductance * capacitance;
  if (reactances <= 2) return refused('too near resonance');
  const attenuation = reactances - 1;
  return figures<LcFilter>(
    {
      attenuation,
      level: -20 * Math.log10(attenuation),
      resonance: 1 / (2 * Math.PI * Math.sqrt(inductance * capacitance)),
    },
    { attenuation: ratio, level: decibels, resonance: hertz },
  );
}
