/** What is read without the YAML parser is what that parser reads. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readYamlEntries } from '../../server/dialect/front-matter.ts';
import { readPlainEntries } from '../../server/dialect/plain-front-matter.ts';
import type { WritingProblem } from '../../server/dialect/tree.ts';

function byYaml(source: string) {
  const problems: WritingProblem[] = [];
  return { entries: readYamlEntries(source, 4, problems), problems };
}

test('plain lines', () => {
  for (const source of [
    'job: 2031\nmains: 230 V 50 Hz\n',
    'sheet: chassis\r\nmodel: Elder 12 (MkII), 1967\r\n',
    'chassis: ../chassis/unit-18.tagstrip.md\nin:   2026-03-06',
    'no: yes\nnull: 0x1F\ny: 1e3\nchassis: /a/b.md\n',
    'true: 1 --- 2\nTrue: a - b\ntoString: 1_000\nconstructor: 5+\nkey--: A1/B2 (c), d\n',
    '',
  ]) {
    const entries = readPlainEntries(source, 4);
    expect(entries).toBeDefined();
    expect(byYaml(source)).toEqual({ entries, problems: [] });
  }
});

test('what is not plain is left to the YAML parser', () => {
  for (const source of [
    'a: 1\na: 2\n',
    'a:\n',
    'a: b \n',
    'a: b: c\n',
    'a: b # c\n',
    'a: "b"\n',
    'a: [1]\n',
    'a: - b\n',
    'a: b\n  c\n',
    'a: b\n\nc: d\n',
    'a: é\n',
    '- a: b\n',
    ' a: b\n',
    'a:\tb\n',
    'a: ...\n',
    'a: ---\n',
    'a: -5\n',
    'a: 12:30\n',
    'a: ~\n',
    '__proto__: a\n',
    'a: >\n  b\n',
    'a: &b c\n',
    '\uFEFFa: b\n',
    'a: b\rc: d\n',
  ])
    expect(readPlainEntries(source, 0), source).toBeUndefined();
});

test('any text that is claimed as plain', () => {
  const bit = fc.constantFrom(
    ...['a', 'key', 'k-1', 'job', 'null', 'true', '230', '1.5', '0x1', '1e3', '2026-03-06', 'V', '_'],
    ...[': ', ':  ', ':', ' ', '  ', '\n', '\n', '\r\n', '.', '..', '../', '/', '-', '- ', '--', '+', ','],
    ...['(', ')', '#', ' #', '"', "'", '[', ']', '{', '&', '*', '!', '|', '>', '%', '@', '~', '?', '\t', 'é'],
  );
  const line = fc.tuple(
    fc.constantFrom('a', 'b', 'job', 'k-1', 'null', 'x_y'),
    fc.constantFrom(': ', ':  ', ':'),
    fc.array(bit, { maxLength: 4 }),
    fc.constantFrom('\n', '\r\n', ''),
  );
  const source = fc.oneof(
    fc.array(line, { maxLength: 3 }).map((lines) => lines.flat(2).join('')),
    fc.array(bit, { maxLength: 12 }).map((bits) => bits.join('')),
  );
  let claimed = 0;
  fc.assert(
    fc.property(source, (text) => {
      const entries = readPlainEntries(text, 4);
      if (entries === undefined) return;
      claimed++;
      expect(byYaml(text), JSON.stringify(text)).toEqual({ entries, problems: [] });
    }),
    { seed: 20_260_101, numRuns: 4000 },
  );
  expect(claimed).toBeGreaterThan(200);
});
