/** Owns what everybody who tells a part of a summary is given: the analysis, the words, the numbers and the places. */
import type { Amplifier } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Text } from './document.ts';
import { languages } from './languages.ts';
import { createNumbers, type Numbers } from './numbers.ts';
import { createPlaces, type Places } from './places.ts';
import type { Words } from './words.ts';

export interface Telling {
  readonly analysis: Analysis;
  readonly sheet: Sheet;
  readonly amplifier: Amplifier;
  readonly words: Words;
  readonly numbers: Numbers;
  readonly places: Places;
  /** Words that come in English from below, whatever the page's language. */
  readonly english: (text: string) => Text;
}

export function tellingOf(analysis: Analysis): Telling {
  const { sheet, amplifier, page } = analysis;
  const words = languages[page.language];
  const isEnglish = page.language === 'en';
  return {
    analysis,
    sheet,
    amplifier,
    words,
    numbers: createNumbers(page.decimal, words),
    places: createPlaces(analysis, words),
    english: (text) => (isEnglish ? text : { kind: 'foreign', language: 'en', text }),
  };
}
