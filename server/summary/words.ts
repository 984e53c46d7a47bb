/**
 * Owns what a language of the summaries must say: everything that English says, with the same places for numbers and names, so
 * that a language with a gap in it does not compile.
 */
import type { english } from './english.ts';

export type Words = typeof english;
export type CautionId = keyof Words['cautions'];

/** A part in plain words for its owner: what it is called, and what such a part does. */
export interface PlainPart {
  readonly name: string;
  readonly does: string;
}
