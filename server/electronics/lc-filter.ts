/** Owns how far a choke and a capacitor smooth the ripple. */
import type { Decibels, Farads, Henries, Hertz, Ratio } from '../units/si.ts';
import { decibels, farads, hertz, ratio } from '../units/si.ts';
import { figure, figures, refuseUnlessPositive } from './domain.ts';
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

/**
 * Capacitance that a smoothing capacitor behind a choke shows by how far the ripple falls over it.
 *
 * Formula:   C = (a + 1) / (ω²·L); ω = 2π·f
 * Symbols:   a how many times smaller the ripple gets [1], L inductance at the direct current it carries [H], f ripple
 *            frequency [Hz], C capacitance [F]
 * Valid for: a > 1, otherwise refused as "not smaller"; L > 0, f > 0; both ripples taken at the same frequency
 * Errors:    a choke's inductance falls with direct current, and C then reads low. A reservoir's ripple is a saw-tooth, of which
 *            the filter lets through little but its fundamental: taken by its rms it makes C read high by up to 1.28
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum), turned round; form from memory
 * Example:   capacitanceFromLcAttenuation({ attenuation: ratio(184.55), inductance: henries(10), frequency: hertz(100) }) → 4.7000e-5 F
 */
export function capacitanceFromLcAttenuation(section: {
  readonly attenuation: Ratio;
  readonly inductance: Henries;
  readonly frequency: Hertz;
}): Result<Farads> {
  const { attenuation, inductance, frequency } = section;
  const outside = refuseUnlessPositive({ inductance, frequency });
  if (outside) return outside;
  if (!(attenuation > 1)) return refused('not smaller');
  return figure((attenuation + 1) / ((2 * Math.PI * frequency) ** 2 * inductance), farads);
}
