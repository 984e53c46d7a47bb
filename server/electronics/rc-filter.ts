/** Owns how far one resistor and capacitor smooth the ripple. */
import type { Decibels, Farads, Hertz, Ohms, Ratio } from '../units/si.ts';
import { decibels, farads, ratio } from '../units/si.ts';
import { figure, figures, refuseUnlessPositive } from './domain.ts';
import { type Result, refused } from './result.ts';

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

/**
 * Capacitance that a smoothing capacitor behind a resistor shows by how far the ripple falls over it.
 *
 * Formula:   C = √(a² − 1) / (2π·f·R)
 * Symbols:   a how many times smaller the ripple gets [1], R series resistor [Ω], f ripple frequency [Hz], C capacitance [F]
 * Valid for: a > 1, otherwise refused as "not smaller"; R > 0, f > 0; both ripples taken at the same frequency
 * Errors:    a reservoir's ripple is a saw-tooth, of which the filter lets through little but its fundamental: taken by its rms
 *            it makes C read high by up to 1.28, by its peaks by up to 1.57
 * Source:    Radiotron Designer's Handbook, 4th ed., chapter 31 (filtering and hum), turned round; form from memory
 * Example:   capacitanceFromRcAttenuation({ attenuation: ratio(29.548), resistance: ohms(1000), frequency: hertz(100) }) → 4.70002e-5 F
 */
export function capacitanceFromRcAttenuation(section: {
  readonly attenuation: Ratio;
  readonly resistance: Ohms;
  readonly frequency: Hertz;
}): Result<Farads> {
  const { attenuation, resistance, frequency } = section;
  const outside = refuseUnlessPositive({ resistance, frequency });
  if (outside) return outside;
  if (!(attenuation > 1)) return refused('not smaller');
  return figure(Math.sqrt(attenuation ** 2 - 1) / (2 * Math.PI * frequency * resistance), farads);
}
