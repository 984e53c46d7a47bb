/** Owns the list of all valves that the catalogue knows without a shop sheet. */
import { BEAM_TETRODES } from './beam-tetrodes.ts';
import { PENTODES } from './pentodes.ts';
import { RECTIFIERS } from './rectifiers.ts';
import { TRIODES } from './triodes.ts';
import type { Valve } from './valve.ts';

export const VALVES: readonly Valve[] = [...TRIODES, ...PENTODES, ...BEAM_TETRODES, ...RECTIFIERS];
