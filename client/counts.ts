/** Owns the words in which the findings of one sheet are counted. */

/** How many findings of each severity, in the editor's order: errors, warnings, information, hints. */
export type Counts = readonly [errors: number, warnings: number, notes: number, hints: number];

const WORDS = [
  ['error', 'errors'],
  ['warning', 'warnings'],
  ['note', 'notes'],
  ['hint', 'hints'],
] as const;

/** `1 error, 2 warnings, 4 notes`, without what there is none of. That nothing was found is said as that, and as no more. */
export function sayCounts(counts: Counts): string {
  const said = WORDS.flatMap(([one, many], i) => {
    const count = counts[i] ?? 0;
    return count === 0 ? [] : [`${count} ${count === 1 ? one : many}`];
  });
  return said.length === 0 ? 'no findings' : said.join(', ');
}
