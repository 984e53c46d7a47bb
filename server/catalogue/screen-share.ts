/** Owns the share of the cathode current that the screen takes at no signal, where a valve's own is known and where not. */
import { fromMemory } from './data-sheet.ts';
import type { Trust, Valve } from './valve.ts';

export interface ScreenShare {
  readonly low: number;
  readonly high: number;
  readonly trust: Trust;
}

/** Of output pentodes and beam tetrodes without a typical point: 5 to 12 % of the cathode current. */
const USUAL: ScreenShare = {
  low: 0.05,
  high: 0.12,
  trust: fromMemory('assumed, usual share of output pentodes and beam tetrodes'),
};

/** The band to reckon with; undefined for valves without a screen. */
export function screenShareOf(valve: Valve): ScreenShare | undefined {
  if (valve.kind !== 'pentode' && valve.kind !== 'beam-tetrode') return undefined;
  return valve.screenShare ?? USUAL;
}
