/** Owns what is known of fuses: speeds by any name, the sizes that are made, and that the two standards rate differently. */
import { type Amperes, amperes } from '../units/si.ts';
import { transcribed } from './data-sheet.ts';
import type { Trust } from './valve.ts';

/** By the letters of IEC 60127, quickest first. */
export const FUSE_SPEEDS = ['FF', 'F', 'M', 'T', 'TT'] as const;
export type FuseSpeed = (typeof FUSE_SPEEDS)[number];

const SPEED_WORDS: Readonly<Record<string, FuseSpeed>> = {
  FF: 'FF',
  F: 'F',
  FAST: 'F',
  QUICK: 'F',
  QUICKBLOW: 'F',
  FASTBLOW: 'F',
  M: 'M',
  SEMIDELAY: 'M',
  T: 'T',
  SLOW: 'T',
  SLOWBLOW: 'T',
  SLOBLO: 'T',
  TIMELAG: 'T',
  TIMEDELAY: 'T',
  ANTISURGE: 'T',
  TT: 'TT',
};

/** The speed that a letter or word names; undefined where it names none. */
export function findFuseSpeed(word: string): FuseSpeed | undefined {
  const key = word.toUpperCase().replace(/[\s-]+/gu, '');
  return Object.hasOwn(SPEED_WORDS, key) ? SPEED_WORDS[key] : undefined;
}

/** Negative where `a` is the quicker of the two. */
export function compareFuseSpeeds(a: FuseSpeed, b: FuseSpeed): number {
  return FUSE_SPEEDS.indexOf(a) - FUSE_SPEEDS.indexOf(b);
}

/** Which standard a fuse is rated by: 5×20 mm ones mostly IEC 60127, 6.3×32 mm ones mostly UL 248-14. */
export type FuseStandard = 'IEC 60127' | 'UL 248-14';

const CONVERSION: Trust = transcribed(
  'a fuse maker’s guide, UL rating = 1.35 × IEC rating for the same load',
);

/** The rating by the other standard for the same load: a UL 2 A behaves like an IEC 1.5 A. */
export function equivalentFuseRating(
  rated: Amperes,
  by: FuseStandard,
): { readonly current: Amperes; readonly trust: Trust } {
  return { current: amperes(by === 'IEC 60127' ? rated * 1.35 : rated / 1.35), trust: CONVERSION };
}

/** Currents that miniature fuses are made for, ascending: IEC 60127, from memory, unverified. */
export const FUSE_RATINGS: readonly Amperes[] = [
  0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4,
  5, 6.3, 8, 10,
].map(amperes);
