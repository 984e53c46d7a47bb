/** The parser looks for mail addresses only where an `@` stands: without one, both ways of parsing give one tree. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { parseWithParser } from '../../server/dialect/markdown.ts';

const WORDS = [
  'V5',
  'a_b',
  'x+y-z',
  'www.a.org',
  'http://a.org/b',
  'http',
  '{R1: 4k7}',
  '{R1',
  '`c`',
  '$d$',
  '\\*',
];
const MARKS = [
  '*',
  '_',
  '~~',
  '**',
  '[',
  ']',
  '](b)',
  '![',
  '<',
  '>',
  '|',
  '.',
  ',',
  '(',
  ')',
  ' ',
  '  ',
  '\t',
];
const LINES = [
  '\n',
  '\n\n',
  '\n- ',
  '\n> ',
  '\n## ',
  '\n| a |\n|---|\n| ',
  '\n```\n',
  '\n[d]: e\n',
  '\n[^1]: f\n',
];

const text = fc
  .array(fc.constantFrom(...WORDS, ...MARKS, ' ', ' ', ...LINES), { maxLength: 30 })
  .map((parts) => `a${parts.join('')}`);

/** It makes the parser look for addresses, and stands apart from all that follows. */
const WITH_MAIL = '<!-- @ -->\n\n';

it('reads text without an @ as the whole parser reads it', () => {
  fc.assert(
    fc.property(text, (plain) => {
      const [, ...children] = parseWithParser(WITH_MAIL + plain).children;
      expect(children.map((each) => withoutPlace(each, WITH_MAIL.length))).toEqual(
        parseWithParser(plain).children.map((each) => withoutPlace(each, 0)),
      );
    }),
    { seed: 5321, numRuns: 300 },
  );
});

it('still takes a mail address for one', () => {
  const [paragraph] = parseWithParser('write to a@b.org').children;
  expect(paragraph?.type === 'paragraph' && paragraph.children.map(({ type }) => type)).toEqual([
    'text',
    'link',
  ]);
});

/** The same node with offsets alone for its places, counted from `from` on. */
function withoutPlace(node: unknown, from: number): unknown {
  if (Array.isArray(node)) return node.map((each) => withoutPlace(each, from));
  if (typeof node !== 'object' || node === null) return node;
  return Object.fromEntries(
    Object.entries(node).flatMap(([key, value]) => {
      if (key === 'line') return [];
      return [[key, key === 'offset' ? value - from : withoutPlace(value, from)]];
    }),
  );
}
