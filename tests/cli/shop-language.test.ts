/** Holds pages over many sheets to the language of their shop, and the terminal and JSON to English. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { tagstrip } from '../support/command.ts';

let folder = '';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-language-'));
  writeFileSync(
    join(folder, 'shop.tagstrip.md'),
    '---\nsheet: shop\nlanguage: de\ndecimal: comma\npaper: A4\nheadings:\n  as-found: Befund\n---\n',
  );
  const job = (number: number) =>
    `---\njob: ${number}\nmodel: Lerche 20\nserial: 0231\nreceived: 2026-0${number}-02\nreturned: 2026-0${number}-06\n---\n# Lerche\n\n- C11 = 47uF 500V electrolytic, B+1 to gnd\n\n## Befund\n\nMains {mains: 230 V}.\n\n- B+1: 33${number} V\n- C11: {charred}\n- {C11: charred}\n`;
  for (const number of [1, 2]) writeFileSync(join(folder, `${number}.tagstrip.md`), job(number));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it.each([
  ['repeats', 'Was immer wieder ausfällt', 'What keeps failing'],
  ['orders', 'Zu bestellende Bauteile', 'Parts to order'],
  ['history', 'Wiederkehrer', 'Return visits'],
])('%s', async (verb, german, english) => {
  const page = (await tagstrip([verb, '.', '--format', 'md'], { at: folder })).out;
  expect(page.startsWith(`# ${german}\n`), page).toBe(true);
  expect((await tagstrip([verb, '.'], { at: folder })).out.startsWith(`${english}\n`)).toBe(true);
  const web = (await tagstrip([verb, '.', '--format', 'html'], { at: folder })).out;
  expect(web).toContain('<html lang="de">');
  expect(web).toContain(`<h1>${german}</h1>`);
  expect(web).toContain('@page{size:A4}');
  const json = (await tagstrip([verb, '.', '--format', 'json'], { at: folder })).out;
  expect(json).not.toMatch(/Elko|Auftrag|verkohlt/);
});

it('tells failures and comparisons in words of the shop', async () => {
  const page = (await tagstrip(['repeats', '.', '--format', 'md'], { at: folder })).out;
  expect(page).toContain('C11 verkohlt');
  expect(page).toContain('**Elkos**: 2 von 2 Besuchen');
  const both = ['compare', '1.tagstrip.md', '2.tagstrip.md'];
  expect((await tagstrip([...both, '--format', 'md'], { at: folder })).out).toContain(
    '- **Bauteile**: 1 gleich.',
  );
  expect((await tagstrip(both, { at: folder })).out).toContain('1 the same.');
});
