/** Owns the list of all valves that the catalogue knows without a shop sheet. */
import { LARGE_BEAM_TETRODES } from './large-beam-tetrodes.ts';
import { PENTODES } from './pentodes.ts';
import { RECTIFIERS } from './rectifiers.ts';
import { SMALL_BEAM_TETRODES } from './small-beam-tetrodes.ts';
import { TRIODES } from './triodes.ts';
import type { Valve } from './valve.ts';

export const VALVES: readonly Valve[] = [
  ...TRIODES,
  ...PENTODES,
  ...SMALL_BEAM_TETRODES,
  ...LARGE_BEAM_TETRODES,
  ...RECTIFIERS,
];
