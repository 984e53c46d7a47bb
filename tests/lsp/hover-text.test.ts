/** What a sheet says stands in a hover as text: an editor makes no link of it, neither of brackets nor of a bare address. */
import { expect, it } from 'vitest';
import { toHover } from '../../server/lsp/convert.ts';
import { createPlaces } from '../../server/lsp/positions.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';

const places = createPlaces(() => 'utf-16');
const snapshot = createSnapshot('file:///1.tagstrip.md', 'V5\n');

function hoverOn(words: string, isMarkdown: boolean): unknown {
  const hover = {
    span: { start: 0, end: 2 },
    headline: words,
    asides: [],
    footnotes: [],
    workings: [],
    offers: [],
  };
  const { contents } = toHover(places, snapshot, hover, { isMarkdown, hasWriteCommand: true });
  return contents;
}

it.each([
  ['see https://example.org', 'see https\\://example.org'],
  ['see www.example.org', 'see www\\.example.org'],
  ['ask shop@example.org', 'ask shop\\@example.org'],
  ['[here](x) ![it](y) <b>', '\\[here\\](x) \\!\\[it\\](y) \\<b\\>'],
  ['a & b', 'a &amp; b'],
  // What is no address stays as it is written.
  ['V5: a 331', 'V5: a 331'],
])('%s', (words, value) => {
  expect(hoverOn(words, true)).toEqual({ kind: 'markdown', value: `**${value}**` });
  expect(hoverOn(words, false)).toEqual({ kind: 'plaintext', value: words });
});
