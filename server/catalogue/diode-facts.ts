/** Owns what common rectifier diodes stand, by the name on their body. */
import { type Amperes, amperes, type Volts, volts } from '../units/si.ts';
import { fromMemory } from './data-sheet.ts';
import type { Trust } from './valve.ts';

export interface DiodeFacts {
  readonly type: string;
  /** Repetitive peak inverse voltage. */
  readonly peakInverse: Volts;
  /** Mean forward current. */
  readonly current: Amperes;
  readonly trust: Trust;
}

const facts = (type: string, peakInverse: number, current: number): DiodeFacts => ({
  type,
  peakInverse: volts(peakInverse),
  current: amperes(current),
  trust: fromMemory(`${type} data sheet`),
});

/** Rectifier diodes met in amplifiers; what is not here is not known. */
export const DIODES: readonly DiodeFacts[] = [
  facts('1N4001', 50, 1),
  facts('1N4002', 100, 1),
  facts('1N4003', 200, 1),
  facts('1N4004', 400, 1),
  facts('1N4005', 600, 1),
  facts('1N4006', 800, 1),
  facts('1N4007', 1000, 1),
  facts('UF4004', 400, 1),
  facts('UF4005', 600, 1),
  facts('UF4006', 800, 1),
  facts('UF4007', 1000, 1),
  facts('1N5399', 1000, 1.5),
  facts('1N5401', 100, 3),
  facts('1N5402', 200, 3),
  facts('1N5404', 400, 3),
  facts('1N5406', 600, 3),
  facts('1N5407', 800, 3),
  facts('1N5408', 1000, 3),
  facts('UF5404', 400, 3),
  facts('UF5406', 600, 3),
  facts('UF5408', 1000, 3),
  facts('R2000F', 2000, 0.2),
];

/** By the name written, whatever its case, gaps and the maker's letter behind it (`1n4007`, `1N 4007G`); undefined where it is not known. */
export function findDiode(text: string): DiodeFacts | undefined {
  const name = text.toUpperCase().replace(/[\s-]+/gu, '');
  return DIODES.find(
    ({ type }) => name === type || (name.startsWith(type) && /^[A-Z]{1,2}$/.test(name.slice(type.length))),
  );
}
