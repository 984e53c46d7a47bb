/** Owns what the phases are called where people read them. */
import type { Phase } from '../sheet/model.ts';

export const PHASE_WORDS: Readonly<Record<Phase, string>> = {
  factory: 'chassis sheet',
  'as-found': 'as found',
  work: 'during the work',
  'as-left': 'as left',
  noted: 'noted',
};
