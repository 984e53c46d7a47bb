/**
 * Owns the page of a summary: one file that needs nothing else, runs nothing and may load nothing. What stands in it is
 * `bench.ts`'s or `customer.ts`'s to say; how it looks is `style.ts`'s.
 */
import type { Analysis } from '../shop/shop.ts';
import { benchBody, benchFacts, benchTitle } from './bench.ts';
import { customerBody, customerFacts, customerTitle } from './customer.ts';
import { fixed, type Html, html, plainOnly } from './escape.ts';
import { STYLE } from './style.ts';
import { customerWords, words } from './words.ts';

export interface SummaryOptions {
  readonly reader: 'bench' | 'customer';
}

/** No script, no network, no picture but one that stands in the page itself. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";

/** Letters of the longest word that a table's column is given room for. */
const LONGEST_WORD = 28;

/** One sheet's summary for one reader. The same analysis gives the same page, letter for letter. */
export function renderHtml(analysis: Analysis, { reader }: SummaryOptions): string {
  const page =
    reader === 'bench'
      ? {
          title: benchTitle(analysis),
          kind: `${words.kinds[analysis.sheet.kind]}: ${words.bench.title.toLowerCase()}`,
          facts: benchFacts(analysis),
          body: benchBody(analysis),
        }
      : {
          title: customerTitle(analysis),
          kind: customerWords.title,
          facts: customerFacts(analysis),
          body: customerBody(analysis),
        };
  const facts = page.facts.map(([name, text]) => html`<div><dt>${name}</dt><dd>${text}</dd></div>`);
  const list: Html | undefined = facts.length === 0 ? undefined : html`<dl class="facts">${facts}</dl>`;
  const { markup } = html`<!DOCTYPE html>
<html lang="${words.language}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${fixed(POLICY)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${plainOnly(`${page.title} – ${page.kind}`.replace(/\s+/g, ' '))}</title>
<style>${fixed(STYLE)}</style>
</head>
<body class="${hasLongWord(page.body) ? `${reader} long` : reader}">
<main>
<header><p class="kind">${page.kind}</p><h1>${page.title}</h1>${list}</header>
${page.body}
</main>
</body>
</html>
`;
  return markup;
}

/** Whether a word stands on the page that no column would hold: only then are words broken inside, which reads badly. */
function hasLongWord({ markup }: Html): boolean {
  return markup.split(/<[^>]*>|\s+/).some(({ length }) => length > LONGEST_WORD);
}
