/** Owns what everybody who tells a part of a summary is given: the analysis, the language and the places. */
import type { Amplifier } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { createPlaces, type Places } from './places.ts';
import { type Speech, speechOf } from './speech.ts';

export interface Telling extends Speech {
  readonly analysis: Analysis;
  readonly sheet: Sheet;
  readonly amplifier: Amplifier;
  readonly places: Places;
}

export function tellingOf(analysis: Analysis, speech: Speech = speechOf(analysis.page)): Telling {
  const { sheet, amplifier } = analysis;
  return { ...speech, analysis, sheet, amplifier, places: createPlaces(analysis, speech.words) };
}
