/** Owns the signs between a label and what is said of it (`=`, `:`, `->`), and the words that say the same. */

const SIGN = /\s*(->|=|:)\s*/y;
const READS = /\s+(?:reads|measures|measured)\s+(?=[\d.~<>])/y;
/** What comes in, behind the words that say so: a number, or a type that is no valve's ref. */
const WITH = String.raw`(?:with|by|to|for|w\/)\s+(?:(?:an?|new)\s+)*(?=[\d.]|[A-Z]{2,4}\d)`;
const REPLACED = new RegExp(String.raw`\s+(?:(?:was|is)\s+)?(?:replaced|changed)\s+${WITH}`, 'y');

/** The sign behind a label, or words that say the same: `R31 reads 171k`, `C12 replaced with 1uF 50V film`. */
export function scanSign(
  text: string,
  at: number,
): { readonly sign: string | undefined; readonly end: number } {
  SIGN.lastIndex = at;
  const sign = SIGN.exec(text);
  if (sign !== null) return { sign: sign[1], end: at + sign[0].length };
  READS.lastIndex = at;
  const reads = READS.exec(text);
  if (reads !== null) return { sign: ':', end: at + reads[0].length };
  REPLACED.lastIndex = at;
  const replaced = REPLACED.exec(text);
  return replaced === null ? { sign: undefined, end: at } : { sign: '->', end: at + replaced[0].length };
}

const ARROW = new RegExp(String.raw`\s*->\s*|\s*,?\s+(?:was\s+)?(?:replaced|changed)\s+${WITH}`, 'y');
const BEHIND_VERB = new RegExp(String.raw`\s+${WITH}`, 'y');

/** Behind the arrow of a change, or the words for it; undefined if none stands there. */
export function behindArrow(text: string, at: number): number | undefined {
  ARROW.lastIndex = at;
  const found = ARROW.exec(text);
  return found === null ? undefined : at + found[0].length;
}

/** Behind the words that part what went from what came, where the verb stands first: `replaced C12 with 1uF 50V`. */
export function behindVerb(text: string, at: number): number | undefined {
  BEHIND_VERB.lastIndex = at;
  const found = BEHIND_VERB.exec(text);
  return found === null ? undefined : at + found[0].length;
}
