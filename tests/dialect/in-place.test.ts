/** An item says the same wherever it stands: what is written before it is another's. */
import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { shiftAny } from '../../server/dialect/shifting.ts';
import { readItem } from '../../server/dialect/tag.ts';

/** The last one makes the reader take a copy of the item, as it does of one that it must write anew. */
const BEFORE = [
  '- ',
  'In play: (hot)\n- [ ] ',
  '[^1]: {R1: 1k} a = b, c.\n\n> 3. ',
  'v5.a: 331, on\r\n\t* ',
  'x',
];

const items = [
  ...linesOf('grammar/dialect.md'),
  ...readdirSync('samples/jobs')
    .filter((name) => name.endsWith('.md'))
    .flatMap((name) => linesOf(`samples/jobs/${name}`)),
  'C21 = 47uF, 500V measured',
  'C21: 47uF, 500V',
  'in play: C21 47uF, 500V',
  'r17 = 470r 5w, v5.k to gnd',
  'V5: a 331 was 340, k 19.4 (hot)',
  'T1 = mains 290-0-290V 150mA 6.3V 4A 5V 2A',
  'R31: 171k +70% -- far off',
  'ca5 V mains',
  'R47 load, V6 out: V5: a 331',
];

function linesOf(file: string): string[] {
  return readFileSync(file, 'utf8')
    .split(/\r?\n/)
    .flatMap((line) => /^\s*[-*] +(.*\S)/.exec(line)?.[1] ?? []);
}

test('an item says the same wherever it stands', () => {
  expect(items.length).toBeGreaterThan(200);
  for (const item of items) {
    const alone = readItem(item, { start: 0, end: item.length });
    for (const before of BEFORE) {
      const start = before.length;
      const there = readItem(before + item, { start, end: start + item.length });
      expect(there, before + item).toEqual(shiftAny(alone, start));
    }
  }
});
