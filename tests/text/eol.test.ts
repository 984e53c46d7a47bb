/** Line ends: LF, CRLF and a lone CR end a line, nothing else does; lines and columns agree with the editor's own library. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { applyEdits } from '../../server/text/edits.ts';
import {
  createSnapshot,
  lineEndingNear,
  lineSpan,
  offsetAt,
  positionAt,
  rangeOf,
} from '../../server/text/snapshot.ts';

/** The lines of a text, each as it stands between its ends. */
function linesOf(text: string): string[] {
  const snapshot = createSnapshot('test:a', text);
  return snapshot.lineStarts.map((_, line) => {
    const { start, end } = lineSpan(snapshot, line);
    return text.slice(start, end);
  });
}

describe('lines', () => {
  test.each([
    ['a\nb', ['a', 'b']],
    ['a\r\nb', ['a', 'b']],
    ['a\rb\r\r# c', ['a', 'b', '', '# c']],
    ['a\n\r\nb\r', ['a', '', 'b', '']],
    ['', ['']],
    ['\n', ['', '']],
    ['no final newline', ['no final newline']],
    // U+2028, U+2029, form feed, vertical tab and NEL end no line.
    ['a\u2028b\n# T', ['a\u2028b', '# T']],
    ['a\u2029b\u000cc\u000bd\u0085e', ['a\u2029b\u000cc\u000bd\u0085e']],
  ])('%j', (text, lines) => expect(linesOf(text)).toEqual(lines));
});

test('in a CRLF note positions do not drift with the line number', () => {
  const text = Array.from({ length: 200 }, (_, i) => `- R${i + 1}: 4k7`).join('\r\n');
  const snapshot = createSnapshot('test:a', text);
  const at = text.indexOf('R181');
  expect(positionAt(snapshot, at)).toEqual({ line: 180, character: 2 });
  expect(offsetAt(snapshot, { line: 180, character: 2 })).toBe(at);
  expect(rangeOf(snapshot, { start: at, end: at + 4 })).toEqual({
    start: { line: 180, character: 2 },
    end: { line: 180, character: 6 },
  });
});

test('a position past the end of a line is its end, never inside the line ending', () => {
  const snapshot = createSnapshot('test:a', 'ab\r\ncd');
  expect(offsetAt(snapshot, { line: 0, character: 99 })).toBe(2);
  expect(offsetAt(snapshot, { line: 9, character: 0 })).toBe(6);
  expect(offsetAt(snapshot, { line: -1, character: 5 })).toBe(0);
  expect(offsetAt(snapshot, { line: 1, character: -3 })).toBe(4);
});

test('inserted text takes the line ending of its neighbourhood', () => {
  const mixed = createSnapshot('test:a', 'one\r\ntwo\nthree\rfour');
  expect(lineEndingNear(mixed, 0)).toBe('\r\n');
  expect(lineEndingNear(mixed, 6)).toBe('\n');
  expect(lineEndingNear(mixed, 10)).toBe('\r');
  // The last line has none of its own: the nearest before it counts.
  expect(lineEndingNear(mixed, 16)).toBe('\r');
  expect(lineEndingNear(createSnapshot('test:a', 'one line'), 3)).toBe('\n');
});

test('an edit on line 180 of a CRLF note leaves every other byte alone', () => {
  const lines = Array.from({ length: 200 }, (_, i) => `- R${i + 1}: 4k7`);
  const text = lines.join('\r\n');
  const at = text.indexOf('4k7', text.indexOf('R181'));
  const fixed = applyEdits(text, [{ span: { start: at, end: at + 3 }, text: '4.7k' }]);
  const expected = lines.map((line, i) => (i === 180 ? '- R181: 4.7k' : line)).join('\r\n');
  expect(fixed).toBe(expected);
});

test('offsets and positions agree with the editor library on any mixture of line ends', () => {
  const pieces = ['a', '\n', '\r', '\r\n', '\u2028', '\u000c', '\ud83d\udd25', '\u00b5', '\ufeff', '\t', ' '];
  const text = fc.array(fc.constantFrom(...pieces), { maxLength: 30 }).map((parts) => parts.join(''));
  fc.assert(
    fc.property(text, (given) => {
      const ours = createSnapshot('test:a', given);
      const theirs = TextDocument.create('test:a', 'markdown', 0, given);
      expect(ours.lineStarts.length).toBe(theirs.lineCount);
      for (let offset = 0; offset <= given.length; offset++) {
        const splits =
          /[\ud800-\udbff]/.test(given.charAt(offset - 1)) && /[\udc00-\udfff]/.test(given.charAt(offset));
        if (splits) continue;
        expect(positionAt(ours, offset)).toEqual(theirs.positionAt(offset));
        const insideEnding = given.charAt(offset - 1) === '\r' && given.charAt(offset) === '\n';
        expect(offsetAt(ours, positionAt(ours, offset))).toBe(insideEnding ? offset - 1 : offset);
      }
    }),
    { seed: 11, numRuns: 200 },
  );
});
