/** Owns the step that a resistor and a capacitor in series make across a signal node. */
import type { Decibels, Farads, Hertz, Ohms } from '../units/si.ts';
import { decibels, hertz } from '../units/si.ts';
import { figures, refuseUnlessPositive } from './domain.ts';
import type { Result } from './result.ts';

export interface SeriesRcShunt {
  readonly pole: Hertz;
  readonly zero: Hertz;
  readonly step: Decibels;
}

/**
 * Treble step of a resistor and a capacitor in series from a signal node to ground or to the supply.
 *
 * Formula:   pole = 1 / (2π·C·(Rs + R0)); zero = 1 / (2π·C·Rs); step = 20·log(Rs / (Rs + R0))
 * Symbols:   R0 source and load of the node in parallel [Ω], Rs series resistor [Ω], C capacitor [F]; pole and zero [Hz],
 *            step well above both against well below, negative [dB]
 * Valid for: R0 > 0, Rs > 0, C > 0. Without Rs it is a plain low-pass with its corner at the pole (rc-corner.ts)
 * Errors:    1/(2π·Rs·C) is the zero: the fall begins at the pole, which goes by the node's source resistance as well
 * Source:    nodal analysis (computed)
 * Example:   seriesRcShunt({ nodeResistance: ohms(37_037), seriesResistor: ohms(47_000), capacitance: farads(470e-12) }) → pole 4029.5 Hz, zero 7204.8 Hz, step -5.047 dB
 */
export function seriesRcShunt(network: {
  readonly nodeResistance: Ohms;
  readonly seriesResistor: Ohms;
  readonly capacitance: Farads;
}): Result<SeriesRcShunt> {
  const { nodeResistance, seriesResistor, capacitance } = network;
  const outside = refuseUnlessPositive({
    'node resistance': nodeResistance,
    'series resistance': seriesResistor,
    capacitance,
  });
  if (outside) return outside;
  return figures<SeriesRcShunt>(
    {
      pole: 1 / (2 * Math.PI * capacitance * (seriesResistor + nodeResistance)),
      zero: 1 / (2 * Math.PI * capacitance * seriesResistor),
      step: 20 * Math.log10(seriesResistor / (seriesResistor + nodeResistance)),
    },
    { pole: hertz, zero: hertz, step: decibels },
  );
}
