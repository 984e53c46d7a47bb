/** Owns capacitors in series: their capacitance, their shares of the voltage and the resistors that hold these even. */
import type { Amperes, Farads, Ohms, Ratio, Volts } from '../units/si.ts';
import { farads, ohms, volts } from '../units/si.ts';
import { figure, refuseIfNegative, refuseUnlessCount, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';
import { refused } from './result.ts';

/**
 * Capacitance of several capacitors in series.
 *
 * Formula:   C = 1 / (1/C1 + 1/C2 + …)
 * Symbols:   C1, C2 … the capacitors [F], C all together [F]
 * Valid for: at least one, each > 0
 * Source:    definition
 * Example:   seriesCapacitance([farads(100e-6), farads(100e-6)]) → 5e-5 F
 */
export function seriesCapacitance(capacitors: readonly Farads[]): Result<Farads> {
  if (capacitors.length === 0) return refused('no capacitor');
  let elastance = 0;
  for (const capacitance of capacitors) {
    const outside = refuseUnlessPositive({ capacitance });
    if (outside) return outside;
    elastance += 1 / capacitance;
  }
  return figure(1 / elastance, farads);
}

/**
 * Worst share of the voltage on one of several equal capacitors in series, by their tolerance.
 *
 * Formula:   V1 = V·(1/(1 − t)) / (1/(1 − t) + (n − 1)/(1 + t)); for two it is V·(1 + t)/2
 * Symbols:   V voltage over the string [V], n capacitors [1], t tolerance of each as a share [1], V1 on the smallest [V]
 * Valid for: 0 ≤ t < 1, n from 1, V ≥ 0; as the string charges. Later the leakage decides, and balancing resistors hold it
 * Errors:    half of the voltage on each of two is the best case, not the worst
 * Source:    series division of charge (computed)
 * Example:   worstSeriesShare({ voltage: volts(500), capacitors: 2, tolerance: ratio(0.2) }) → 300 V
 */
export function worstSeriesShare(string: {
  readonly voltage: Volts;
  readonly capacitors: number;
  readonly tolerance: Ratio;
}): Result<Volts> {
  const { voltage, capacitors, tolerance } = string;
  const outside = refuseIfNegative({ voltage, tolerance }) ?? refuseUnlessCount({ capacitors });
  if (outside) return outside;
  if (tolerance >= 1) return refused('tolerance of 100 % or more');
  const smallest = 1 / (1 - tolerance);
  return figure((voltage * smallest) / (smallest + (capacitors - 1) / (1 + tolerance)), volts);
}

/**
 * Largest resistor across each capacitor of a string that still holds the voltages even.
 *
 * Formula:   R = V1 / (10·Ileak)
 * Symbols:   V1 share of one capacitor [V], Ileak its leakage current [A], R resistor [Ω]
 * Valid for: V1 > 0, Ileak > 0
 * Errors:    each resistor stands its capacitor's share all the time: judge its power and its working voltage there
 * Source:    common practice, no source
 * Example:   balancingResistor(volts(250), amperes(0.1e-3)) → 250000 Ω
 */
export function balancingResistor(share: Volts, leakage: Amperes): Result<Ohms> {
  const outside = refuseUnlessPositive({ 'share of the voltage': share, 'leakage current': leakage });
  if (outside) return outside;
  return figure(share / (10 * leakage), ohms);
}
