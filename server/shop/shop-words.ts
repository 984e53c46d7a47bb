/**
 * Owns the words in which what many sheets say together is told: what another language must fill in, and English. Judgements are
 * made in the language that they are asked for; what rules and authors say stays as it is.
 */
import { type BenchWords, englishBenchWords } from '../bench/bench-words.ts';
import type { ModVerdictName } from './mod-verdict.ts';

export interface ShopWords {
  readonly mods: {
    readonly verdicts: Readonly<Record<ModVerdictName, string>>;
  };
}

export const englishShopWords: ShopWords = {
  mods: {
    verdicts: {
      'still applies': 'still applies',
      'done at factory': 'done at the factory',
      'already done': 'already done',
      'not applicable': 'not applicable',
      conflicts: 'conflicts',
      declined: 'declined',
      unknown: 'unknown, look',
    },
  },
};

/** The language that a judgement is told in. */
export interface ShopLanguage {
  readonly terms: BenchWords;
  readonly says: ShopWords;
}

export const englishShop: ShopLanguage = { terms: englishBenchWords, says: englishShopWords };
