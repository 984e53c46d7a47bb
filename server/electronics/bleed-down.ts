/** Owns how long a charged capacitor takes to bleed down through a resistance, and its two inverses. */
import type { Farads, Ohms, Seconds, Volts } from '../units/si.ts';
import { ohms, seconds, volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Time for a capacitor to bleed from one voltage down to another.
 *
 * Formula:   t = R·C·ln(V0 / V1)
 * Symbols:   R all that discharges it: bleeder, dividers and load in parallel [Ω], C capacitance [F], V0 voltage at first
 *            [V], V1 voltage at last [V], t time [s]
 * Valid for: R > 0, C > 0, V0 ≥ V1 > 0
 * Errors:    an open bleeder or an open standby switch leaves part of the bank charged, and a capacitor recovers some
 *            charge by itself. The figure plans the wait; only a meter on every electrolytic ends it
 * Source:    definition of the exponential discharge
 * Example:   bleedTime({ capacitance: farads(100e-6), resistance: ohms(220_000), from: volts(450), to: volts(60) }) → 44.32787 s
 */
export function bleedTime(bank: {
  readonly capacitance: Farads;
  readonly resistance: Ohms;
  readonly from: Volts;
  readonly to: Volts;
}): Result<Seconds> {
  const { capacitance, resistance, from, to } = bank;
  const outside = refuseUnlessPositive({ capacitance, resistance, 'final voltage': to });
  if (outside) return outside;
  if (from < to) return refused('final voltage above the first');
  return figure(resistance * capacitance * Math.log(from / to), seconds);
}

/**
 * Voltage left on a capacitor after it has bled for a time.
 *
 * Formula:   V1 = V0·exp(−t / (R·C))
 * Symbols:   V0 voltage at first [V], t time [s], R all that discharges it [Ω], C capacitance [F], V1 voltage left [V]
 * Valid for: R > 0, C > 0, t ≥ 0
 * Errors:    as for bleedTime: a computed voltage is no reading
 * Source:    definition of the exponential discharge
 * Example:   voltageAfterBleeding({ capacitance: farads(100e-6), resistance: ohms(220_000), from: volts(450), time: seconds(22) }) → 165.54575 V
 */
export function voltageAfterBleeding(bank: {
  readonly capacitance: Farads;
  readonly resistance: Ohms;
  readonly from: Volts;
  readonly time: Seconds;
}): Result<Volts> {
  const { capacitance, resistance, from, time } = bank;
  const outside = refuseUnlessPositive({ capacitance, resistance }) ?? refuseIfNegative({ time });
  if (outside) return outside;
  return figure(from * Math.exp(-time / (resistance * capacitance)), volts);
}

/**
 * Largest bleeder that brings a capacitor down within a given time.
 *
 * Formula:   R = t / (C·ln(V0 / V1))
 * Symbols:   t time allowed [s], C capacitance [F], V0 voltage at first [V], V1 voltage to reach [V], R bleeder [Ω]
 * Valid for: t > 0, C > 0, V0 > V1 > 0
 * Source:    definition of the exponential discharge
 * Example:   largestBleeder({ capacitance: farads(100e-6), time: seconds(60), from: volts(500), to: volts(60) }) → 282983.7 Ω
 */
export function largestBleeder(bank: {
  readonly capacitance: Farads;
  readonly time: Seconds;
  readonly from: Volts;
  readonly to: Volts;
}): Result<Ohms> {
  const { capacitance, time, from, to } = bank;
  const outside = refuseUnlessPositive({ capacitance, time, 'final voltage': to });
  if (outside) return outside;
  if (from <= to) return refused('final voltage above the first');
  return figure(time / (capacitance * Math.log(from / to)), ohms);
}
