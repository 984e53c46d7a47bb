/** Owns the signs between a label and what is said of it (`=`, `:`, `->`), and the words that say the same. */

const SIGN = /\s*(->|=|:)\s*/y;
const READS = /\s+(?:reads|measures|measured)\s+(?=[\d.~<>])/y;
const REPLACED = /\s+(?:(?:was|is)\s+)?(?:replaced|changed)\s+(?:with|by|to|for)\s+(?:an?\s+)?(?=[\d.])/y;

/** The sign behind a label, or words that say the same: `R31 reads 171k`, `C12 replaced with 1uF 50V film`. */
export function scanSign(text: string, at: number): { readonly sign?: string; readonly end: number } {
  for (const [pattern, meant] of [
    [SIGN, undefined],
    [READS, ':'],
    [REPLACED, '->'],
  ] as const) {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    const sign = meant ?? found?.[1];
    if (found !== null && sign !== undefined) return { sign, end: at + found[0].length };
  }
  return { end: at };
}

const ARROW = /\s*->\s*|\s*,?\s+(?:was\s+)?(?:replaced|changed)\s+(?:with|by|to|for)\s+(?:an?\s+)?(?=[\d.])/y;

/** Behind the arrow of a change, or the words for it; undefined if none stands there. */
export function behindArrow(text: string, at: number): number | undefined {
  ARROW.lastIndex = at;
  const found = ARROW.exec(text);
  return found === null ? undefined : at + found[0].length;
}
