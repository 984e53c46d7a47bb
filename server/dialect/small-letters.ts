/**
 * Owns references in small letters (`v5.a: 331`, `r17 = 470r 5w`): which words of a hurried line stand for parts and rails.
 * Small letters with a number are everyday words too, so they are parts only where a sign follows and, which the caller
 * sees to, all of the line reads.
 */
import { findPartClass } from './letters.ts';

/** Letters that name parts in any hand; the others of the table are also pages, keys, electrodes and units. */
const LETTERS: ReadonlySet<string> = new Set('r vr c l ch t ot pt tr v d zd br q f ls tk'.split(' '));

/** What stands before the sign: parts and rails, their terminals, and what joins them. */
const HEAD =
  /^\s*((?:(?:[a-z]{1,3}\d{1,4}[a-f]?|[A-Z]{1,3}\d{1,4}[A-F]?)(?:\.\w+| pin \d+| (?:a|g|g1|g2|g3|k|anode|plate|screen|grid|cathode))?|[bB][+-]\d{0,2}|ht\+?\d{0,2}|gnd)(?:\s*(?:,|&|\+|-|\band\b|\bto\b)\s*(?=\w)|(?=\s*(?:=|:|->))))+\s*(?:=|:|->)/;
const PART = /(?<![\p{L}\p{N}_.])([a-z]{1,3})(\d{1,4})([a-f]?)(?![\p{L}\p{N}_])/gu;
const RAIL = /(?<![\p{L}\p{N}_.])(?:b[+-]|ht\+?)\d{0,2}(?![\p{L}\p{N}_])/gu;
/** Behind the sign only what has a terminal or stands at an end of a connection: `r47` and `k20` may be values there. */
const PLACE =
  /(?<![\p{L}\p{N}_.])(?:([a-z]{1,3})(\d{1,4}[a-f]?)(?=\.[a-z\d])|(?<=\b(?:to|across|from|at) )([a-z]{1,3})(\d{1,4}[a-f]?)(?![\p{L}\p{N}_]))/gu;

/** The line with its references in capitals, letter for letter as long; undefined where it opens on none in small letters. */
export function withCapitals(text: string): string | undefined {
  if (!/^\s*[a-z]/.test(text)) return undefined;
  const head = HEAD.exec(text.slice(0, LONGEST_HEAD))?.[0];
  if (head === undefined) return undefined;
  const named = head
    .replace(PART, (all, letters: string, digits: string, section: string) =>
      isPart(letters) ? `${letters.toUpperCase()}${digits}${section.toUpperCase()}` : all,
    )
    .replace(RAIL, (rail) => rail.toUpperCase());
  if (/^\s*[a-z]/.test(named)) return undefined;
  const rest = text
    .slice(head.length)
    .replace(PLACE, (all, letters: string | undefined, _d, other: string | undefined) =>
      isPart(letters ?? other ?? '') ? all.toUpperCase() : all,
    )
    .replace(RAIL, (rail) => rail.toUpperCase());
  return named + rest;
}

const LONGEST_HEAD = 80;

function isPart(letters: string): boolean {
  return LETTERS.has(letters) && findPartClass(letters.toUpperCase()) !== undefined;
}
