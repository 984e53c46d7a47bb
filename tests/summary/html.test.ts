/** Holds every page of every sample to what all pages promise: whole in itself, well made, read aloud, the same each time. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { analyse } from '../support/check.ts';
import { findUnpaired, tagsOf, textOf } from './page.ts';
import { analyseSample, SAMPLES } from './samples.ts';

const READERS = ['bench', 'customer', 'label'] as const;

describe('every page of every sample', () => {
  it('has samples to look at', () => {
    expect(SAMPLES.length).toBeGreaterThanOrEqual(4);
  });

  for (const sample of SAMPLES)
    for (const reader of READERS) {
      it(`${sample} for the ${reader}: needs nothing, runs nothing, pairs its tags`, async () => {
        const page = renderHtml(await analyseSample(sample), { reader });
        expect(page.startsWith('<!DOCTYPE html>')).toBe(true);
        expect(findUnpaired(page)).toBeUndefined();
        expect(page).not.toMatch(/<script|<img|<link|<iframe|https?:|\son[a-z]+=|style="/i);
        expect(page).toContain(
          `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`,
        );
      });

      it(`${sample} for the ${reader}: can be read aloud`, async () => {
        const tags = tagsOf(renderHtml(await analyseSample(sample), { reader })).filter(
          ({ closes }) => !closes,
        );
        expect(tags.find(({ name }) => name === 'html')?.attributes.lang).toBe('en-GB');
        const levels = tags.flatMap(({ name }) => (/^h[1-6]$/.test(name) ? [Number(name[1])] : []));
        expect(levels.filter((level) => level === 1)).toHaveLength(1);
        // The slip has no sections: its parts stand right under its head.
        if (reader === 'label') return;
        const jumps = levels.filter((level, i) => level > (levels[i - 1] ?? 0) + 1);
        expect(jumps).toEqual([]);
        const heads = tags.filter(({ name }) => name === 'th');
        expect(
          heads.filter(({ attributes }) => !['col', 'row', 'rowgroup'].includes(attributes.scope ?? '')),
        ).toEqual([]);
        const captions = tags.filter(({ name }) => name === 'caption').length;
        expect(captions).toBe(tags.filter(({ name }) => name === 'table').length);
        const pictures = tags.filter(({ name }) => name === 'svg');
        expect(
          pictures.filter(
            ({ attributes }) =>
              attributes.role !== 'img' ||
              !(attributes['aria-label']?.includes('%') || attributes['aria-labelledby']?.includes('-desc')),
          ),
        ).toEqual([]);
      });

      it(`${sample} for the ${reader}: is the same each time and has no broken number`, async () => {
        const analysis = await analyseSample(sample);
        const page = renderHtml(analysis, { reader });
        expect(renderHtml(analysis, { reader })).toBe(page);
        expect(page).not.toMatch(/NaN|Infinity|undefined|\[object/);
      });

      it(`${sample} for the ${reader}: never calls anything safe`, async () => {
        expect(textOf(renderHtml(await analyseSample(sample), { reader }))).not.toMatch(
          /\bsafe(?:ly|ty)?\b/i,
        );
      });
    }

  it('breaks inside only words that no column would hold, and notes that no line would', async () => {
    const word = 'x'.repeat(60);
    const many = Array.from({ length: 30 }, (_, i) => `- V3: a ${300 + i}.5\n`).join('');
    const page = renderHtml(
      await analyse(
        `---\njob: ${word}\n---\n# X\n\n## As found\n\n${many}\n## Work\n\n- mod ${word}: declined, no\n`,
      ),
      { reader: 'bench' },
    );
    expect(page).toContain(`<dd class="long">${word}</dd>`);
    expect(page).toContain(`<th scope="row" class="long">${word}</th><td>declined</td>`);
    // And tells the latest of what was read all day long.
    expect(page).toMatch(
      /<td class="number">329\.5.V <span class="note long">earlier 324\.5.V, .* 328\.5.V, and 24 more</,
    );
    expect(page).toMatch(/<td class="place">line.\d+; .* line.\d+; and 25 more</);
  });

  for (const kind of ['job', 'chassis', 'mod', 'shop'])
    it(`renders an empty ${kind} sheet`, async () => {
      const analysis = await analyse(`---\nsheet: ${kind}\n---\n`);
      for (const reader of READERS) expect(findUnpaired(renderHtml(analysis, { reader }))).toBeUndefined();
    });

  it('leaves the law and the judgement to others, on every page', async () => {
    const analysis = await analyseSample('jobs/2041-larch-20-hum.tagstrip.md');
    for (const reader of READERS)
      expect(textOf(renderHtml(analysis, { reader }))).toMatch(/local codes and licensed practice/i);
  });
});
