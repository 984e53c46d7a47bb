/**
 * Owns what a language of the summaries must say: everything that English says, with the same places for numbers and names, so
 * that a language with a gap in it does not compile.
 */
import type { english } from './english.ts';

export type Words = typeof english;
export type CautionId = keyof Words['cautions'];
