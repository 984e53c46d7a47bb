/**
 * Owns the front matter that most sheets have: lines of `key: value` with nothing in them that YAML reads otherwise. Only a text
 * that is plain beyond doubt is claimed, and its entries are the YAML reader's, which a property test holds it to.
 */
import type { FrontMatterEntry } from './tree.ts';

/**
 * One line. The value begins with a letter, a digit or the dots of a path, and has no sign in it that could end it, begin a
 * comment or mean a type.
 */
const LINE = /([A-Za-z][\w-]{0,40}):( +)((?:\.{0,2}\/|[A-Za-z0-9])(?:[\w ./()+,-]*[\w./()+])?)(?:\r?\n|$)/y;

/** The entries of a text that begins at `base` of its sheet; undefined where it is not plain beyond doubt. */
export function readPlainEntries(source: string, base: number): FrontMatterEntry[] | undefined {
  const entries: FrontMatterEntry[] = [];
  const seen = new Set<string>();
  LINE.lastIndex = 0;
  for (let at = 0; at < source.length; at = LINE.lastIndex) {
    const found = LINE.exec(source);
    if (found === null) return undefined;
    const [, key = '', gap = '', scalar = ''] = found;
    if (seen.has(key)) return undefined;
    seen.add(key);
    const start = base + at;
    const value = start + key.length + 1 + gap.length;
    entries.push({
      key,
      keySpan: { start, end: start + key.length },
      scalar,
      valueSpan: { start: value, end: value + scalar.length },
    });
  }
  return entries;
}
