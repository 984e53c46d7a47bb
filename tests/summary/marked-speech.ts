/**
 * Owns a language made from the English one in which every fixed word stands in marks, and finding the words on a page that do
 * not. A word without marks is one that no table holds, so that no other language could say it.
 */
import { defaultPage } from '../../server/shop/house-sheet.ts';
import { english } from '../../server/summary/english.ts';
import { type Speech, speechOf } from '../../server/summary/speech.ts';
import type { Words } from '../../server/summary/words.ts';

/** Around what is put into a fixed sentence. */
const [FROM, TO] = ['\ue000', '\ue001'];

function markWords(text: string): string {
  return text.replace(/\p{L}[\p{L}’'-]*/gu, '⟦$&⟧');
}

function fence(value: unknown): unknown {
  if (typeof value === 'string') return FROM + value + TO;
  if (Array.isArray(value)) return value.map(fence);
  if (typeof value === 'object' && value !== null)
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, fence(each)]));
  return value;
}

function markOutside(said: unknown): unknown {
  if (typeof said === 'string')
    return said
      .split(/(\ue000[^\ue001]*\ue001)/)
      .map((part) => (part.startsWith(FROM) ? part.slice(1, -1) : markWords(part)))
      .join('');
  if (Array.isArray(said)) return said.map(markOutside);
  if (typeof said === 'object' && said !== null)
    return Object.fromEntries(Object.entries(said).map(([key, each]) => [key, markOutside(each)]));
  return said;
}

/** Not words to read: the name of the language itself, and the decimal sign. */
const UNMARKED = new Set(['language', 'decimal']);

function marked(table: object): object {
  return Object.fromEntries(
    Object.entries(table).map(([key, value]) => {
      if (UNMARKED.has(key)) return [key, value];
      if (typeof value === 'function')
        return [key, (...given: unknown[]) => markOutside(value(...given.map(fence)))];
      if (typeof value === 'string') return [key, markWords(value)];
      return [key, typeof value === 'object' && value !== null ? marked(value) : value];
    }),
  );
}

export const markedWords = { ...marked(english), language: 'x-marked' } as Words;
export const markedSpeech: Speech = speechOf(defaultPage, markedWords);

/** What is read and heard of a page, without what is marked as English. */
function textOfPage(html: string): string {
  return (
    html
      .replace(/<(style|script)\b[\s\S]*?<\/\1>/g, ' ')
      .replace(/<span lang="en">[\s\S]*?<\/span>/g, ' ')
      // In a drawing's own words, where no mark of a language can stand.
      .replace(/‹[^‹›]*›/g, ' ')
      .replace(
        /<[^>]*>/g,
        (tag) =>
          [...tag.matchAll(/\b(?:alt|title|aria-label)="([^"]*)"/g)]
            .map(([, said = '']) => ` ${said} `)
            .join('') || '\n',
      )
      .replace(/&#39;/g, "'")
      .replace(/&(?:amp|lt|gt|quot|nbsp);/g, ' ')
  );
}

/** Names of parts, terminals and places, and numbers with their units. */
const NAME = /^(?:[A-Z]{1,3}\d+[A-Z]?(?:\.\w+)?|V\d+[A-Z]?\.[a-z]\d?|B[+-]\d*|gnd)$/;
const UNIT = /^(?:[kMmnpGµ]?(?:V|A|W|Hz|F|H|J|S|Ω|s)|min|dB|C|p)$/u;

/**
 * Words on the page that neither a table nor one of these texts has, and words beside each other that stand so in none of the
 * texts: a sentence of ours may be made of words that an author used elsewhere.
 */
export function wordsUntold(html: string, written: readonly string[]): readonly string[] {
  const letters = written.map((text) => ` ${(text.toLowerCase().match(/\p{L}+/gu) ?? []).join(' ')} `);
  const known = new Set(letters.flatMap((text) => text.trim().split(' ')));
  const bare = textOfPage(html).replace(/⟦[^⟧]*⟧/g, ' | ');
  const found = bare.match(/[\p{L}\d][\p{L}\d.+]*/gu) ?? [];
  const words = found.filter((word) => {
    const plain = word.replace(/[.+]+$/, '');
    // A valve's type begins with a number.
    if (NAME.test(plain) || UNIT.test(plain) || /^\d+[A-Z]/.test(plain)) return false;
    return (plain.match(/\p{L}+/gu) ?? []).some((each) => !known.has(each.toLowerCase()));
  });
  const runs = (bare.match(/(?<![\p{L}\d.+])\p{L}+(?:[ \u00a0]+\p{L}+)+(?![\p{L}\d])/gu) ?? []).filter(
    (run) => {
      const own = run.split(/[ \u00a0]+/).filter((word) => !UNIT.test(word) && !NAME.test(word));
      const said = ` ${own.join(' ').toLowerCase()} `;
      return own.length > 1 && !letters.some((text) => text.includes(said));
    },
  );
  return [...new Set([...words, ...runs])];
}
