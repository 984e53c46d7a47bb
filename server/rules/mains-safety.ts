/** Owns the look-up of resistances read between the mains side, the earth pin and the chassis. */

import type { BenchReading, PhaseView } from '../bench/model.ts';
import { readingsThat } from './readings-that.ts';

const LIVE = new Set(['line', 'neutral', 'mains']);
const DEAD = new Set(['gnd', 'earth']);

/** The last resistance read in a view from the earth pin to the chassis. */
export function earthReading(view: PhaseView): BenchReading | undefined {
  return readingsThat(view, 'of the earth', isEarthReading).at(-1);
}

/** Earth pin to chassis, as a resistance. */
export function isEarthReading(reading: BenchReading): boolean {
  const ends = endsOf(reading);
  return isOhmic(reading) && ends.includes('earth') && ends.includes('gnd');
}

/** Insulation read in a view from a line conductor to chassis or earth: the last of each pair of points. */
export function insulationReadings(view: PhaseView): readonly BenchReading[] {
  const byPair = new Map<string, BenchReading>();
  for (const reading of readingsThat(view, 'of the insulation', isOfInsulation))
    byPair.set(endsOf(reading).join(' '), reading);
  return [...byPair.values()];
}

function isOfInsulation(reading: BenchReading): boolean {
  const ends = endsOf(reading);
  return isOhmic(reading) && ends.some((end) => LIVE.has(end)) && ends.some((end) => DEAD.has(end));
}

function isOhmic({ quantity, nominal }: BenchReading): boolean {
  return (quantity === 'resistance' || quantity === 'insulation') && !nominal;
}

function endsOf({ at, node, to, toNode }: BenchReading): readonly string[] {
  return [node ?? at, toNode ?? to ?? ''];
}
