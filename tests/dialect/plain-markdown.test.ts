/** What is read without the parser is the parser's tree, node for node. */
import fc from 'fast-check';
import type { Nodes } from 'mdast';
import { describe, expect, test } from 'vitest';
import { parseWithParser } from '../../server/dialect/markdown.ts';
import { parsePlain } from '../../server/dialect/plain-markdown.ts';
import { opensTag } from '../../server/dialect/tag.ts';

const opens = (source: string) => opensTag(source, 1, source.length - 1);

/** A node as a reader sees it: its kind, its place, what it says. */
function seen(node: Nodes): unknown {
  return {
    type: node.type,
    start: node.position?.start.offset,
    end: node.position?.end.offset,
    ...('depth' in node && { depth: node.depth }),
    ...('checked' in node && typeof node.checked === 'boolean' && { checked: node.checked }),
    ...('value' in node && { value: node.value }),
    ...('children' in node && { children: node.children.map(seen) }),
  };
}

const PLAIN = [
  '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331, 38 mA\n',
  '- R1 = 1k\n- R2 = 2k\n\n- V1A: a 159.8\n## Work\n- C1 -> 47uF\n',
  'Mains {mains: 236 V}, lamp\nout. {R1: 470R}{R2: 1k}\n- B+1: 302 V\n',
  '| Valve | a | k |\n| --- | --: | - |\n| V1 | {V1.a: 331} | |\n| V2 || 1 | 2 |\n|a|\n\nlast',
  '| Valve | a |\n| --- | --- |\n| V1 | 331 |\n- R1: 1k\n',
  '| Valve | a |\n| --- | --- |\n## Work\n- C1 -> 47uF\n',
  '- [x] plug out, B+1: 5 V\n- [ ] R17: hot\n',
  'a {b {R1: 1k} } {{R2: 1k}} {R3:\n1k} {',
];

describe('plain text', () => {
  for (const text of PLAIN) {
    for (const form of [text, text.replaceAll('\n', '\r\n'), text.replaceAll('a', '🎸')]) {
      test(JSON.stringify(form), () => {
        const plain = parsePlain(form, 0, opens);
        expect(plain && seen(plain)).toEqual(seen(parseWithParser(form)));
      });
    }
  }
});

test('what is not plain is left to the parser', () => {
  for (const text of [
    '---\njob: 1\n---\n',
    '- R1: hot\n  very\n',
    '- R1: hot\nvery\n',
    '*R1*',
    'a\n---\n',
    '1. R1',
    '- 1) R1',
    '- - R1',
    '> R1',
    'a |\n--|\n',
    '| a | b |\n| - |\n',
    'a  \nb',
    'a\rb',
    '[x] a',
    '- [x]',
    '- [ ] {R17: hot}',
    'see https://example.org',
  ])
    expect(parsePlain(text, 0, opens), text).toBeUndefined();
});

test('any text that is claimed as plain', () => {
  const bit = fc.constantFrom(
    ...[
      'a',
      'R1: 1k',
      '{R1: 1k}',
      '{',
      '}',
      '{R2',
      ' ',
      '  ',
      '-',
      '- ',
      '--',
      '#',
      '# ',
      '## B',
      '|',
      ' | ',
      '[x]',
      '[ ] ',
    ],
    ...[
      '+ ',
      '=',
      '==',
      '>',
      ':',
      ':-',
      '1.',
      '12)',
      '1',
      '.',
      '!',
      '"',
      "'",
      '(',
      '^',
      '/',
      'é',
      '🎸',
      ';',
      '%',
      ',',
    ],
    ...[
      '\n',
      '\n',
      '\n',
      '\n- ',
      '\n- ',
      '\n\n',
      '\n\n- ',
      '\n\n| a | b |\n|--|:-:|\n',
      '\n| c | d |\n',
      '\n| e |',
      '\r\n',
    ],
    ...[
      '*',
      '_',
      '\\',
      '`',
      'www.a.b',
      'http://a.b',
      'a@b.c',
      '<b>',
      '&amp;',
      '\t',
      '~',
      '$',
      '[a]: b',
      '\u00a0',
    ],
  );
  let claimed = 0;
  fc.assert(
    fc.property(fc.array(bit, { maxLength: 24 }), (bits) => {
      const text = bits.join('');
      const plain = parsePlain(text, 0, opens);
      if (plain === undefined) return;
      claimed++;
      expect(seen(plain)).toEqual(seen(parseWithParser(text)));
    }),
    { seed: 8, numRuns: Number(process.env.RUNS ?? 3000) },
  );
  expect(claimed).toBeGreaterThan(100);
});
