/** Offsets and columns count UTF-16 units, as the editor does, and nothing ever stands between the halves of a pair. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createSnapshot, offsetAt, positionAt, rangeOf } from '../../server/text/snapshot.ts';

const row = '| \ud83d\udd25 R1 | 47 \u00b5F |';

test('behind an emoji columns go on in UTF-16 units', () => {
  const snapshot = createSnapshot('test:a', `# T\n${row}\n`);
  const at = snapshot.text.indexOf('47');
  expect(positionAt(snapshot, at)).toEqual({ line: 1, character: 10 });
  expect(offsetAt(snapshot, { line: 1, character: 10 })).toBe(at);
  const unit = snapshot.text.indexOf('\u00b5F');
  expect(rangeOf(snapshot, { start: unit, end: unit + 2 })).toEqual({
    start: { line: 1, character: 13 },
    end: { line: 1, character: 15 },
  });
});

test('a position between the halves of a pair is its beginning', () => {
  const snapshot = createSnapshot('test:a', row);
  expect(offsetAt(snapshot, { line: 0, character: 3 })).toBe(2);
  expect(positionAt(snapshot, 3)).toEqual({ line: 0, character: 2 });
});

test('a lone surrogate is a character like another and nothing throws', () => {
  const snapshot = createSnapshot('test:a', 'a\ud83d\nb\udd25c');
  expect(positionAt(snapshot, 2)).toEqual({ line: 0, character: 2 });
  expect(offsetAt(snapshot, { line: 1, character: 2 })).toBe(5);
});

test('combining marks, wide characters and tabs are one unit each', () => {
  const text = 'e\u0301\t\u6f22 R1';
  const snapshot = createSnapshot('test:a', text);
  expect(positionAt(snapshot, text.indexOf('R1')).character).toBe(5);
});

test('every position is in bounds, and a way there and back ends where it began', () => {
  const pieces = [
    'R1',
    '\u00b5',
    '\ud83d\udd25',
    '\ud83d',
    '\udd25',
    'e\u0301',
    '\n',
    '\r\n',
    '\ufeff',
    '\u0000',
    '\u{1f9d1}\u200d\u{1f527}',
  ];
  const text = fc.array(fc.constantFrom(...pieces), { maxLength: 20 }).map((parts) => parts.join(''));
  fc.assert(
    fc.property(
      text,
      fc.integer({ min: -5, max: 60 }),
      fc.integer({ min: -5, max: 60 }),
      (given, line, character) => {
        const snapshot = createSnapshot('test:a', given);
        const offset = offsetAt(snapshot, { line, character });
        expect(offset).toBeGreaterThanOrEqual(0);
        expect(offset).toBeLessThanOrEqual(given.length);
        expect(offsetAt(snapshot, positionAt(snapshot, offset))).toBe(offset);
      },
    ),
    { seed: 12, numRuns: 300 },
  );
});
