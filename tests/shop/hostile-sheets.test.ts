/** Whatever stands on a sheet, its facts are plain data with finite numbers, and nothing throws: samples cut, joined and shuffled. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { failuresOf } from '../../server/shop/failures.ts';
import { findReturns, visitFactsOf } from '../../server/shop/history.ts';
import { findLike } from '../../server/shop/likeness.ts';
import { gatherOrders, ordersOf } from '../../server/shop/orders.ts';
import { countRepeats } from '../../server/shop/repeats.ts';
import { englishShop } from '../../server/shop/shop-words.ts';
import { analyseJobs } from '../support/workshop.ts';

const folder = new URL('../../samples/jobs/', import.meta.url);
const JOBS = readdirSync(folder)
  .filter((name) => name.endsWith('.tagstrip.md'))
  .map((name) => readFileSync(new URL(name, folder), 'utf8').replaceAll('../chassis/', ''));
/** Small, so that what is cut and joined is most of the work. */
const CHASSIS =
  '---\nsheet: chassis\nmodel: Larch 20\n---\n# Larch\n\n- V4 = 5881\n- V3 = 5881\n- C10 = 22n 630V paper, V2B.a to V4.g\n- R18 = 220k, V4.g to gnd\n- R20 = 330R 5W, V4.k to gnd\n- C11 = 47uF 500V electrolytic, B+1 to gnd\n';

const LINES = JOBS.flatMap((text) => text.split('\n'));
const ODD = [
  '## Work',
  '## Wanted',
  '- [ ] V1, C1 -> 1e400F',
  '{C1: open}',
  '- V3: -0',
  'serial: ',
  '---',
  '- C11: 0uF',
  '\u0000',
];

function isPlain(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (value === null || typeof value !== 'object') return typeof value !== 'function';
  return Object.values(value).every(isPlain);
}

describe('facts of many sheets', () => {
  it('are plain and finite, and their lists come out', async () => {
    const text = fc
      .array(fc.oneof(fc.constantFrom(...LINES), fc.constantFrom(...ODD)), { maxLength: 25 })
      .map(
        (lines) =>
          `---\nchassis: larch-20.b.tagstrip.md\nserial: 1\n---\n# X\n\n## As found\n\n${lines.join('\n')}\n`,
      );
    await fc.assert(
      fc.asyncProperty(text, text, async (one, other) => {
        const jobs = await analyseJobs({
          'a.tagstrip.md': one,
          'b.tagstrip.md': other,
          'larch-20.b.tagstrip.md': CHASSIS,
        });
        const facts = jobs.flatMap(({ analysis, path }) => failuresOf(analysis, path, englishShop) ?? []);
        const visits = jobs.flatMap(
          ({ analysis, path }) => visitFactsOf(analysis, () => path, englishShop) ?? [],
        );
        const orders = jobs.flatMap(({ analysis, path }) => ordersOf(analysis, path, englishShop) ?? []);
        const counter = countRepeats();
        for (const each of facts) counter.add(each);
        const lists = [counter.result(), findReturns(visits), gatherOrders(orders)];
        expect(structuredClone([facts, visits, orders])).toEqual([facts, visits, orders]);
        expect([facts, visits, orders, lists].every(isPlain)).toBe(true);
        for (const each of facts) expect(isPlain(findLike(each, facts))).toBe(true);
      }),
      { seed: 8, numRuns: 12 },
    );
  });
});
