/** Holds the summary against notes that mean harm: whatever stands in a note, the page runs, loads and links nothing. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { renderMarkdown } from '../../server/summary/markdown.ts';
import { findPhotoPath } from '../../server/summary/photos.ts';
import { analyse } from '../support/check.ts';
import { findForeignMarkdown } from './host.ts';
import { FOR_HOSTS, HOSTILE, ODD, sheetWith } from './hostile-sheets.ts';
import { findUnpaired, tagsOf } from './page.ts';

/** One by one they are tried in a browser. */
const ODD_TOGETHER = [0, 1, 2, 3].map((rest) => ODD.filter((_, i) => i % 4 === rest).join(' '));

const READERS = ['bench', 'customer', 'label'] as const;

const TAGS =
  'html head meta title style body main header section p h1 h2 h3 figure figcaption dl div dt dd ul ol li table caption thead tbody tr th td strong span a pre bdi svg rect line'.split(
    ' ',
  );
const ATTRIBUTES: Readonly<Record<string, readonly string[]>> = {
  html: ['lang'],
  meta: ['charset', 'http-equiv', 'content', 'name'],
  section: ['id'],
  th: ['scope', 'class', 'colspan'],
  td: ['class', 'colspan'],
  a: ['href'],
  span: ['class', 'aria-hidden'],
  svg: ['class', 'role', 'aria-label', 'viewBox', 'preserveAspectRatio'],
  rect: ['class', 'x', 'y', 'width', 'height'],
  line: ['class', 'x1', 'y1', 'x2', 'y2'],
};

/** To the cautions of the page, or to a picture by a plain path in the shop's folders. */
function isOwnLink(href: string): boolean {
  return (
    href === '#cautions' ||
    /^(?:\.\.\/){0,2}(?:[\w%.-]+\/)*[\w%.-]+\.(?:jpe?g|png|webp|gif|heic|avif)$/i.test(href)
  );
}

function findForeign(page: string): string | undefined {
  for (const { name, closes, attributes } of tagsOf(page)) {
    if (!TAGS.includes(name)) return `<${name}>`;
    const allowed = [...(ATTRIBUTES[name] ?? ['class']), 'data-line'];
    const foreign = Object.keys(attributes).find((attribute) => !allowed.includes(attribute));
    if (foreign !== undefined) return `<${name} ${foreign}>`;
    if (name === 'a' && !closes && !isOwnLink(attributes.href ?? '')) return `<a href="${attributes.href}">`;
    if (name === 'meta' && attributes['http-equiv'] === 'refresh') return 'a refresh';
  }
  return undefined;
}

describe('a note that means harm', () => {
  for (const words of [...HOSTILE, ...ODD_TOGETHER, ...FOR_HOSTS]) {
    it(`puts nothing on the page or into Markdown but words: ${JSON.stringify(words.slice(0, 50))}`, async () => {
      const analysis = await analyse(sheetWith(words));
      for (const reader of READERS) {
        const page = renderHtml(analysis, { reader });
        expect(findForeign(page)).toBeUndefined();
        expect(findUnpaired(page)).toBeUndefined();
        expect(page.match(/<style>/g)).toHaveLength(1);
        expect(page).toContain("default-src 'none'; style-src 'unsafe-inline'; img-src data:\"");
        expect(findForeignMarkdown(renderMarkdown(analysis, { reader, withReadings: true }))).toBeUndefined();
      }
    });
  }

  it('is told from harmless words by what looks for it', () => {
    for (const harm of [
      '<b>',
      '![x](x.png)',
      '[x](https://example.org)',
      '@you',
      'see #12',
      'www.example.org',
      'me@example.org',
      ':+1:',
      '[x]: https://example.org',
      '\u202eabc',
    ])
      expect([harm, findForeignMarkdown(harm)]).not.toEqual([harm, undefined]);
    expect(findForeignMarkdown('# X\n\n- 5 > 3, `a`, **b** at 10:30\n')).toBe('inlineCode a');
    expect(findForeignMarkdown('# X\n\n- **b** at 10:30, C# and 50 %\n')).toBeUndefined();
  });

  it('links to a photograph only by a plain path in the shop’s folders', async () => {
    const urls = [
      'https://example.org/x.jpg',
      'javascript:alert(1)//x.jpg',
      'JaVaScRiPt:alert(1).jpg',
      'file:///etc/x.jpg',
      '//example.org/x.jpg',
      '/etc/x.jpg',
      '../../../x.jpg',
      'a/../../x.jpg',
      'a/..%2f..%2fx.jpg',
      'C:\\x.jpg',
      'x.svg',
      'x.jpg#x.svg',
      'x.html?.jpg',
      '.hidden/x.jpg',
    ];
    for (const url of urls) expect([url, findPhotoPath(url)]).toEqual([url, undefined]);
    for (const url of [
      'x.jpg',
      './x.jpg',
      'photos/2047.JPG',
      '../photos/2047-r20.png',
      '../../photos/a/b.webp',
    ])
      expect(findPhotoPath(url)).toBe(url.replace(/^\.\//, ''));
    expect(findPhotoPath('fotos/Röhre.jpg')).toBe('fotos/R%C3%B6hre.jpg');
  });

  it('cannot turn the direction of what stands beside it', async () => {
    const analysis = await analyse(sheetWith('\u202Egnp.exe'));
    for (const reader of READERS) {
      const page = renderHtml(analysis, { reader });
      const outside = page.replace(/<bdi>[^<]*<\/bdi>/g, '');
      expect(outside).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/);
    }
  });

  it('never makes a page that breaks, whatever fragments it is made of', async () => {
    const fragments = [
      ...HOSTILE.filter(({ length }) => length < 200),
      '\n',
      '\n\n',
      '- ',
      '# ',
      '## Owner\n',
      '## Work\n',
      '| ',
      '|',
      '{',
      '}',
      'C12',
      ' -> ',
      ' = ',
      '1uF',
      'V5',
      ': a 331',
      '**',
      '`',
      '```\n',
      '---\n',
      '> ',
      '\t',
      '$x$',
    ];
    await fc.assert(
      fc.asyncProperty(fc.array(fc.constantFrom(...fragments), { maxLength: 30 }), async (pieces) => {
        const analysis = await analyse(pieces.join(''));
        for (const reader of READERS) {
          const page = renderHtml(analysis, { reader });
          expect(findForeign(page)).toBeUndefined();
          expect(findUnpaired(page)).toBeUndefined();
          expect(findForeignMarkdown(renderMarkdown(analysis, { reader }))).toBeUndefined();
        }
      }),
      { seed: 20260306, numRuns: 40 },
    );
  });
});
