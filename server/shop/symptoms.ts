/** Owns the words of a complaint that can tell one fault from another: what everybody writes is left out, forms of a word are one. */
import type { Sheet } from '../sheet/model.ts';

/** Words that say nothing of a fault, in the languages that complaints are written in. */
const COMMON = new Set(
  `about after again all also always and any are back because been before both but came can cannot channel come comes could
  customer day did does doesn done down even every few first for from get gets getting goes going gone got had has have having
  her him his how into its just last like little lot made make makes more most much new nobody not nothing now off often old one
  only other our out over owner own part play played player playing plays put quite reports said same says see seems she should
  since some somebody something sometimes still such than that the their them then there these they thing things this those time
  told too turn turned two until very was wants week weeks well went were what when whatever where which while who will with
  without work working works would wrong year years yesterday you your amp amplifier
  aber alle als auch auf aus bei bis das dass dem den der des die doch durch ein eine einem einen einer eines ers für hat ich
  ihm ihr immer ist jetzt kein keine kommt man mehr mit nach nicht noch nun nur oder ohne sagt sehr seit sich sie sind und
  von vor war wenn wie wieder wird zum zur`
    .split(/\s+/)
    .filter((word) => word !== ''),
);

const MOST_WORDS = 40;

/** The telling words of the complaint, as first written, each once. */
export function symptomWords({ sections, snapshot }: Sheet): readonly string[] {
  const found = new Map<string, string>();
  // A sheet in a hurry has no heading for it: what stands below the title is what the owner said.
  const complaint = sections.some(({ topic }) => topic === 'complaint') ? 'complaint' : 'title';
  for (const { topic, bodySpan } of sections) {
    if (topic !== complaint) continue;
    const text = snapshot.text
      .slice(bodySpan.start, bodySpan.end)
      .replace(/\{[^{}]*\}|`[^`]*`|\]\([^)]*\)/g, ' ');
    for (const [word] of text.matchAll(/\p{L}[\p{L}-]+/gu)) {
      const lower = word.toLowerCase();
      if (lower.length < 3 || COMMON.has(lower)) continue;
      const stem = stemOf(lower);
      if (!COMMON.has(stem) && !found.has(stem)) found.set(stem, lower);
      if (found.size >= MOST_WORDS) return [...found.values()];
    }
  }
  return [...found.values()];
}

/** One form for `hum`, `hums`, `hummed` and `humming`: endings off, and a doubled letter once. */
export function stemOf(word: string): string {
  const bare = word
    .replace(/ies$/, 'y')
    .replace(/(ss|sh|ch|x|z)es$/, '$1')
    .replace(/([^s])s$/, '$1');
  const cut = bare.replace(/(?<=\p{L}{3})(?:ing|ed|e|y)$/u, '');
  return cut.replace(/([^aeiou])\1$/, '$1');
}
