/** Owns texts of tags for tests: fragments put together by chance, and every tag that the dialect's page and tests write. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';

const FRAGMENTS = (
  'R17 V5 V1A V1-A C40 D1-D4 VR2 T2 TR1 LS1 F1 TK1 Q1 IC1 B+ B+1 B- HT HT2 gnd mains tail bias earth . : = -> → + - , ; ( ) ' +
  '{ } / @ ~ < > ± ? a g g2 k pin 3 #7 at to across from wiper ct plus on 470R 4k7 100uF 22n 450V 5W 331 19.4 -38 V mA 8.2 Vpp ' +
  '1 kHz 6V6GT 12AX7 1N4007 290-0-290V 8k : 8R in out tank mains output log film electrolytic date 2011-13-45 date 9999 removed ' +
  'same charred lifted accept keep mod screens-5w still applies was R44 as drawn hot 15 min V6 out dummy 8R standby on ÂµF Î© ' +
  '&micro; &#8486; &rarr; Ω µ ½ 🔥 \u{1d400} \ud800 \udc00 \u2028 \u0000 | \\ * ** _ 0,3 6,15 1,500 1e999 99999999999999999999 .022'
).split(' ');

/** What may stand in a tag, mostly nonsense. */
export const fragments = fc
  .array(
    fc.tuple(fc.constantFrom(...FRAGMENTS), fc.constantFrom('', ' ', '  ', '\n> ', '\r\n  ', '\u00a0', ', ')),
    { maxLength: 14 },
  )
  .map((pieces) => pieces.flat().join(''));

/** Tags in braces and list items as the tests of the dialect and its page write them. */
export function writtenTags(): { readonly braces: readonly string[]; readonly items: readonly string[] } {
  const folder = new URL('../dialect/', import.meta.url);
  const texts = readdirSync(folder)
    .filter((name) => name.endsWith('.test.ts') && !name.startsWith('tidy'))
    .map((name) => readFileSync(new URL(name, folder), 'utf8'));
  texts.push(readFileSync(new URL('../../grammar/dialect.md', import.meta.url), 'utf8'));
  const braces = new Set<string>();
  const items = new Set<string>();
  for (const text of texts) {
    for (const [written] of text.matchAll(/\{[A-Z?a-z][^{}\n`$]*\}/g)) braces.add(written);
    for (const [, written = ''] of text.matchAll(/(?:^|['"`])- (?:\[[ x]\] )?([^\n'"`]+)/gm))
      items.add(written);
  }
  return { braces: [...braces], items: [...items] };
}
