/** How a page of many sheets points to them: by their names, with a link that holds where the page lies. */
import { describe, expect, it } from 'vitest';
import { documentText } from '../../server/cli/document-text.ts';
import { pathsFor } from '../../server/cli/page-paths.ts';
import { listOf, type SummaryDocument } from '../../server/summary/document.ts';
import { addressOf, inSheet } from '../../server/summary/places.ts';
import { printHtml } from '../../server/summary/print-html.ts';
import { printMarkdown } from '../../server/summary/print-markdown.ts';
import { tagstrip } from '../support/command.ts';

const shown = { path: (uri: string) => uri };

describe('the way to a sheet', () => {
  it.each([
    ['html', undefined, 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['html', 'page.html', 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['html', 'out/page.html', 'jobs/a.tagstrip.md', '../jobs/a.tagstrip.md'],
    ['md', 'out\\deep\\page.md', '../shop/a.tagstrip.md', '../../../shop/a.tagstrip.md'],
    ['md', 'jobs/page.md', 'jobs/a.tagstrip.md', 'a.tagstrip.md'],
    // What programs and people read as a path stays as it is.
    ['json', 'out/page.json', 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['text', 'out/page.txt', 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['html', '/elsewhere/page.html', 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['html', 'C:\\elsewhere\\page.html', 'jobs/a.tagstrip.md', 'jobs/a.tagstrip.md'],
    ['html', 'out/page.html', '/elsewhere/a.tagstrip.md', '/elsewhere/a.tagstrip.md'],
  ] as const)('of %s written to %s, to %s', (format, out, path, expected) => {
    expect(pathsFor({ format, ...(out !== undefined && { out }) }, shown)(path)).toBe(expected);
  });

  it('is made of names and nothing else', () => {
    expect(addressOf('../jobs/a b (1)?#"<.tagstrip.md')).toBe(
      '../jobs/a%20b%20%281%29%3F%23%22%3C.tagstrip.md',
    );
    expect(addressOf('javascript:alert(1)')).toBe('javascript%3Aalert%281%29');
  });
});

describe('a sheet that is named', () => {
  const document: SummaryDocument = {
    language: 'en',
    reader: 'bench',
    title: 'T',
    kind: 'K',
    facts: [],
    opening: [listOf([{ text: ['job 7 ', inSheet('../jobs/7 [x].tagstrip.md')] }])],
    sections: [],
  };

  it('is its name with a link on pages, and its path in the terminal', () => {
    expect(printMarkdown(document)).toContain('job 7 ([7 \\[x\\]](../jobs/7%20%5Bx%5D.tagstrip.md))');
    expect(printHtml(document)).toContain(
      '<span class="place"><a href="../jobs/7%20%5Bx%5D.tagstrip.md">7 [x]</a></span>',
    );
    expect(documentText(document, { colour: false, width: 80 })).toContain(
      'job 7 (../jobs/7 [x].tagstrip.md)',
    );
  });

  it.each([
    ['orders', ['orders', 'samples/jobs/2117-larch-20-waiting.tagstrip.md'], '2117-larch-20-waiting'],
    [
      'repeats --like',
      [
        'repeats',
        'samples/jobs/2047-larch-20-hot-valve.tagstrip.md',
        '--like',
        'samples/jobs/2117-larch-20-waiting.tagstrip.md',
      ],
      '2047-larch-20-hot-valve',
    ],
  ])('in %s', async (_, call, name) => {
    const [{ out: page }, { out: text }] = [
      await tagstrip([...call, '--format', 'md']),
      await tagstrip(call),
    ];
    expect(page).toContain(`([${name}](samples/jobs/${name}.tagstrip.md))`);
    expect(text).toContain(`(samples/jobs/${name}.tagstrip.md)`);
  });
});
