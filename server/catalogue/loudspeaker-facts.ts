/** Owns what a loudspeaker's nominal impedance promises, and what its resistance says of it. */
import { type Ohms, ohms, type Ratio, ratio } from '../units/si.ts';
import { fromMemory, transcribed } from './data-sheet.ts';
import type { Trust } from './valve.ts';

/** The lowest impedance in the rated range is at least this share of the nominal: an 8 Ω loudspeaker may dip to 6.4 Ω. */
export const LOWEST_IMPEDANCE: { readonly share: Ratio; readonly trust: Trust } = {
  share: ratio(0.8),
  trust: transcribed('IEC 60268-5'),
};

/** DC resistance as a share of the nominal impedance; common practice. */
export const USUAL_RESISTANCE: { readonly low: Ratio; readonly high: Ratio; readonly trust: Trust } = {
  low: ratio(0.7),
  high: ratio(0.85),
  trust: fromMemory('usual voice coils'),
};

const NOMINALS: readonly Ohms[] = [2, 4, 8, 16, 32].map(ohms);
/** Readings are taken in the cabinet, through a lead: a little room on both sides. */
const ROOM = 0.03;

/**
 * The nominal impedance that a DC resistance points to: 5.5–7 Ω is an 8 Ω loudspeaker. Undefined between the usual
 * bands, where the meter alone cannot tell.
 */
export function findNominalImpedance(resistance: Ohms): Ohms | undefined {
  const { low, high } = USUAL_RESISTANCE;
  return NOMINALS.find(
    (nominal) => resistance >= nominal * (low - ROOM) && resistance <= nominal * (high + ROOM),
  );
}
