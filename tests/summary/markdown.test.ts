/** Holds the Markdown to the page: the same words in the same sections, and nothing in it but text, lists, tables and code. */
import { describe, expect, it } from 'vitest';
import { pictureOf, type SummaryDocument } from '../../server/summary/document.ts';
import { html } from '../../server/summary/escape.ts';
import { escapeMarkdown, escapeStart, fenced } from '../../server/summary/escape-markdown.ts';
import { renderMarkdown } from '../../server/summary/markdown.ts';
import { printHtml } from '../../server/summary/print-html.ts';
import { printMarkdown } from '../../server/summary/print-markdown.ts';
import { type SummaryOptions, summarise } from '../../server/summary/summary.ts';
import { analyse } from '../support/check.ts';
import { nodesOf } from './host.ts';
import { textOf } from './page.ts';
import { analyseSample, SAMPLES } from './samples.ts';

/** Every word that a reader of the Markdown sees, sorted: asides stand in brackets there, and effects after their table. */
function wordsOf(text: string): readonly string[] {
  return text
    .replace(/\u2060/g, '')
    .split(/[\s/()–|;]+/)
    .filter((word) => /[\p{L}\d]/u.test(word))
    .sort();
}

function markdownWords(markdown: string): ReadonlySet<string> {
  const said = nodesOf(markdown).flatMap(({ type, value }) =>
    type === 'text' || type === 'code' ? [value ?? ''] : [],
  );
  return new Set(wordsOf(said.join(' ')));
}

/** What stands for the pictures where none can be shown. */
function pictureWords({ sections }: SummaryDocument): string {
  const pictures = sections.flatMap(({ blocks }) => blocks).filter((block) => block.kind === 'picture');
  return pictures
    .map(({ alternative, table }) => {
      const cells = (table?.rows ?? []).flatMap((row) => ('cells' in row ? row.cells : [row.group]));
      return [alternative, ...(table?.columns ?? []).map(({ head }) => head), ...cells].flat().join(' ');
    })
    .join(' ');
}

const FORMS: readonly SummaryOptions[] = [
  { reader: 'bench' },
  { reader: 'customer' },
  { reader: 'customer', withReadings: true },
  { reader: 'label' },
];

/** Of the page alone: how its bars are read, and what they say to those who listen. */
const OF_BARS = /Bars run from nothing; the upright line is the limit, and what lies beyond it is striped\./g;

const ALLOWED = new Set(
  'root heading paragraph text strong emphasis list listItem table tableRow tableCell blockquote link'.split(
    ' ',
  ),
);

describe('a summary as Markdown', () => {
  for (const sample of SAMPLES)
    for (const form of FORMS)
      it(`${sample} ${form.reader}${form.withReadings ? ' with readings' : ''}: says what the page says, and no more, in text, lists, tables and emphasis`, async () => {
        const analysis = await analyseSample(sample);
        const summary = summarise(analysis, form);
        const page = new Set(wordsOf(textOf(printHtml(summary)).replace(OF_BARS, '')));
        const rendered = printMarkdown(summary);
        const markdown = markdownWords(rendered);
        expect([...page].filter((word) => !markdown.has(word))).toEqual([]);
        // Where a page shows a picture, Markdown says what is in it.
        const pictured = new Set(wordsOf(pictureWords(summary)));
        expect([...markdown].filter((word) => !page.has(word) && !pictured.has(word))).toEqual([]);

        const nodes = nodesOf(rendered);
        expect(nodes.filter(({ type }) => !ALLOWED.has(type))).toEqual([]);
        const urls = nodes.flatMap(({ type, url }) => (type === 'link' ? [url ?? ''] : []));
        expect(urls.filter((url) => !/^\.\.\/photos\/\d+-[a-z0-9-]+\.jpg$/.test(url))).toEqual([]);
      });

  it('tells what a change does after the table that it stands in', async () => {
    const markdown = renderMarkdown(await analyseSample('jobs/2052-larch-20-tone.tagstrip.md'), {
      reader: 'bench',
    });
    expect(markdown).toMatch(
      /\*\*C2\*\* \(cathode bypass\) \| 22.µF 25.V electrolytic \| \*\*680.nF 63.V film\*\* \|/,
    );
    expect(markdown).toMatch(/\n- \*\*C2\*\* \(cathode bypass\)\n\n {2}DC: voltage margin/);
  });

  it('puts the words of a picture in its place, with its table', () => {
    const picture = pictureOf({
      svg: html`<svg role="img" aria-label="V3: 63.8 mA"></svg>`,
      title: 'Load line of V3',
      alt: 'V3 rests at 63.8 mA.',
      notes: ['Supply held at 340 V.'],
      table: { head: ['Point', 'Current'], rows: [['rest', '63.8 mA']] },
    });
    const summary = {
      language: 'en-GB',
      reader: 'bench',
      title: 'X',
      kind: 'Y',
      facts: [],
      opening: [],
      sections: [{ heading: 'Pictures', blocks: [picture] }],
    } as const;
    expect(printMarkdown(summary)).toBe(
      '# X\n\n*Y*\n\n## Pictures\n\n**Load line of V3**\n\nV3 rests at 63.8 mA.\n\n| Point | Current |\n| --- | --- |\n| **rest** | 63.8 mA |\n\nSupply held at 340 V.\n',
    );
    expect(printHtml(summary)).toContain(
      '<figure class="picture"><figcaption>Load line of V3</figcaption><svg role="img" aria-label="V3: 63.8 mA"></svg><p class="small">Supply held at 340 V.</p></figure>',
    );
  });

  it('keeps a code block whole, whatever ticks are in it', async () => {
    const analysis = await analyse('# X\n\n## Owner\n\n````\na ``` <b> @you #1\n````\n');
    expect(renderMarkdown(analysis, { reader: 'customer' })).toContain('````\na ``` <b> @you #1\n````');
    expect(fenced('a')).toBe('```\na\n```');
  });
});

describe('text as Markdown', () => {
  const CASES: readonly (readonly [string, string])[] = [
    ['a * b _ c ~ d ` e', 'a \\* b \\_ c \\~ d \\` e'],
    ['<b>bold</b> & &lt;', '\\<b\\>bold\\</b\\> & \\&lt;'],
    ['[x](javascript:alert(1))', '\\[x\\](javascript\u2060:alert(1))'],
    ['a | b', 'a \\| b'],
    ['@name, a@b.example', '@\u2060name, a@\u2060b.example'],
    ['#12, !12, GH-12, C#', '#\u206012, !\u206012, GH\u2060-12, C#'],
    ['https://example.org www.example.org', 'https:\u2060//example.org www\u2060.example.org'],
    [':smile: 10:30', ':\u2060smile: 10:30'],
    ['\u202Egnp.exe', 'gnp.exe'],
    ['a\u0000b', 'a\ufffdb'],
    ['one\ntwo\r\n\r\nthree', 'one two three'],
  ];
  for (const [text, markdown] of CASES)
    it(`${JSON.stringify(text)} stays text`, () => {
      expect(escapeMarkdown(text)).toBe(markdown);
    });

  it('opens no block at the start of a line', () => {
    for (const [text, markdown] of [
      ['- a', '\\- a'],
      ['+ a', '\\+ a'],
      ['# a', '\\# a'],
      ['1. a', '1\\. a'],
      ['2) a', '2\\) a'],
      ['===', '\\==='],
      ['    code', 'code'],
    ] as const)
      expect(escapeStart(escapeMarkdown(text))).toBe(markdown);
  });
});
