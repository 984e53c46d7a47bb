/** Edits: which may stand together, and that a set of them does what each would do alone. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applyEdits, areDisjoint, type Edit } from '../../server/text/edits.ts';
import { contains, cover, overlaps, shift, span, touches } from '../../server/text/span.ts';

const edit = (start: number, end: number, text: string): Edit => ({ span: span(start, end), text });

describe('edits', () => {
  test('are made in the order of the text, whatever order they come in', () => {
    expect(applyEdits('abcdef', [edit(4, 5, 'E'), edit(0, 1, 'A'), edit(2, 2, '-')])).toBe('Ab-cdEf');
  });

  test('may touch but not overlap, and two insertions at one place have no order', () => {
    expect(areDisjoint([edit(0, 2, ''), edit(2, 4, '')])).toBe(true);
    expect(areDisjoint([edit(0, 3, ''), edit(2, 4, '')])).toBe(false);
    expect(areDisjoint([edit(2, 2, 'a'), edit(2, 2, 'b')])).toBe(false);
    expect(areDisjoint([edit(1, 4, ''), edit(2, 2, 'in it')])).toBe(false);
    expect(areDisjoint([edit(0, 9, ''), edit(1, 2, ''), edit(10, 11, '')])).toBe(false);
    expect(() => applyEdits('abcdef', [edit(0, 3, ''), edit(2, 4, '')])).toThrow('edits overlap');
  });

  test('leave the rest of the text as it was', () => {
    const cuts = fc.uniqueArray(fc.nat({ max: 40 }), { minLength: 2, maxLength: 8 });
    fc.assert(
      fc.property(fc.string({ minLength: 41, maxLength: 60 }), cuts, (text, places) => {
        const sorted = [...places].sort((a, b) => a - b);
        const edits: Edit[] = [];
        for (let i = 0; i + 1 < sorted.length; i += 2)
          edits.push(edit(sorted[i] ?? 0, sorted[i + 1] ?? 0, `<${i}>`));
        // One at a time from the end gives the same as all at once.
        const one = edits.toReversed().reduce((so, each) => applyEdits(so, [each]), text);
        expect(applyEdits(text, edits)).toBe(one);
        expect(applyEdits(text, [])).toBe(text);
      }),
      { seed: 13, numRuns: 200 },
    );
  });
});

describe('spans', () => {
  test('the end is not in a span but a cursor there still touches it', () => {
    expect(touches(span(2, 5), 5)).toBe(true);
    expect(touches(span(2, 5), 6)).toBe(false);
    expect(overlaps(span(2, 5), span(5, 6))).toBe(false);
    expect(overlaps(span(2, 5), span(4, 6))).toBe(true);
    expect(contains(span(2, 5), span(2, 5))).toBe(true);
    expect(contains(span(2, 5), span(4, 6))).toBe(false);
    expect(shift(span(2, 5), 3)).toEqual(span(5, 8));
    expect(cover([span(4, 6), span(1, 2)])).toEqual(span(1, 6));
    expect(cover([])).toBeUndefined();
  });
});
