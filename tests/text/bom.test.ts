/** A byte-order mark is kept in the text, counts as the one unit it is, and moves nothing on any other line. */
import { expect, test } from 'vitest';
import { applyEdits } from '../../server/text/edits.ts';
import { createSnapshot, lineSpan, offsetAt, positionAt } from '../../server/text/snapshot.ts';

const BOM = '\ufeff';

test('the mark is a unit of the first line and of no other', () => {
  const plain = createSnapshot('test:a', '# R1\n- R2: 4k7\n');
  const marked = createSnapshot('test:a', `${BOM}# R1\n- R2: 4k7\n`);
  expect(positionAt(marked, marked.text.indexOf('R1'))).toEqual({ line: 0, character: 3 });
  expect(positionAt(marked, marked.text.indexOf('R2'))).toEqual(positionAt(plain, plain.text.indexOf('R2')));
  expect(offsetAt(marked, { line: 1, character: 2 })).toBe(marked.text.indexOf('R2'));
  expect(lineSpan(marked, 0)).toEqual({ start: 0, end: 5 });
});

test('an edit keeps the mark', () => {
  const text = `${BOM}---\nt: 1\n---\n- R2: 4k7`;
  const at = text.indexOf('4k7');
  const fixed = applyEdits(text, [{ span: { start: at, end: at + 3 }, text: '4.7k' }]);
  expect(fixed).toBe(`${BOM}---\nt: 1\n---\n- R2: 4.7k`);
});

test('a text of nothing but the mark has one line', () => {
  const snapshot = createSnapshot('test:a', BOM);
  expect(snapshot.lineStarts).toEqual([0]);
  expect(positionAt(snapshot, 1)).toEqual({ line: 0, character: 1 });
});
