/** Owns the language that a page is told in, made ready: its words, the numbers with the shop's decimal sign, and what is marked as English. */
import type { BenchWords } from '../bench/bench-words.ts';
import { defaultPage, type PageStyle } from '../shop/house-sheet.ts';
import type { ShopLanguage } from '../shop/shop-words.ts';
import type { Text } from './document.ts';
import { languages } from './languages.ts';
import { createNumbers, type Numbers } from './numbers.ts';
import { createPlotWords, type PlotWords } from './plot/plot-words.ts';
import type { Words } from './words.ts';

export interface Speech {
  readonly words: Words;
  /** The words for what the bench works out, with the shop's decimal sign. */
  readonly terms: BenchWords;
  /** What judgements on many sheets are made in. */
  readonly shop: ShopLanguage;
  readonly plots: PlotWords;
  readonly numbers: Numbers;
  /** Words that come in English from below, whatever the page's language. */
  readonly english: (text: string) => Text;
  /** A sentence in which English from below stands between ‹ and ›: marked for those who listen. */
  readonly markEnglish: (text: string) => Text;
}

export function speechOf({ language, decimal }: PageStyle, words: Words = languages[language]): Speech {
  const isForeign = !words.language.startsWith('en');
  const terms: BenchWords = { ...words.terms, decimal };
  const numbers = createNumbers(decimal, words);
  const english = (text: string): Text => (isForeign ? { kind: 'foreign', language: 'en', text } : text);
  return {
    words,
    terms,
    shop: { terms, says: words.shop, foreign: (text) => (isForeign ? `‹${text}›` : text) },
    plots: createPlotWords(words.plot, terms, words.systems, isForeign, numbers),
    numbers,
    english,
    markEnglish: (text) =>
      isForeign && text.includes('‹')
        ? text.split(/‹([^‹›]*)›/).map((part, i) => (i % 2 === 1 ? english(part) : part))
        : text,
  };
}

/** What the terminal speaks, whatever the shop. */
export const englishSpeech: Speech = speechOf(defaultPage);
