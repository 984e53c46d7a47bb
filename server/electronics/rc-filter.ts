/** Owns how far one resistor and capacitor smooth the ripple. */
import type { Decibels, Farads, Hertz, Ohms, Ratio } from '../units/si.ts';
import { decibels, ratio } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

/** `attenuation` is how many times smaller the ripple gets, `level` the same in decibels, negative. */
export interface RcFilter {
  readonly attenuation: Ratio;
  readonly level: Decibels;
}

/**
 * Attenuation of ripple by a resistor into a smoothing capacitor.
 *
 * Formula:   attenuation = √(1 + (2π·f·R·C)²); level = −20·log(attenuation)
 * Symbols:   R series resistor [Ω], C smoothing capacitor [F], f ripple frequency [Hz]; attenuation [1], level [dB]
 * Valid for: R > 0, C > 0, f > 0; R much larger than the reservoir's reactance, load much larger than the capacitor's
 * Errors:    the load's current drops I·R over the resistor and heats it with I²·R: see ohmic.ts and resistor-power.ts
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum); form from memory
 * Example:   rcFilter({ resistance: ohms(1000), capacitance: farads(47e-6), frequency: hertz(100) }) → attenuation 29.548 1, level -29.41053 dB
 */
export function rcFilter(section: {
  readonly resistance: Ohms;
  readonly capacitance: Farads;
  readonly frequency: Hertz;
}): Result<RcFilter> {
  const { resistance, capacitance, frequency } = section;
  const outside = refuseUnlessPositive({ resistance, capacitance, frequency });
  if (outside) return outside;
  const attenuation = Math.hypot(1, 2 * Math.PI * frequency * resistance * capacitance);
  return figures<RcFilter>(
    { attenuation, level: -20 * Math.log10(attenuation) },
    { attenuation: ratio, level: decibels },
  );
}
