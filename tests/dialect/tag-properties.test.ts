/** Whatever stands in braces, an item or a cell: reading it never throws, and every span lies in the text that was read. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { findConditions, readConditions } from '../../server/dialect/conditions.ts';
import { scanPoint } from '../../server/dialect/points.ts';
import { readValueFor } from '../../server/dialect/reading-cell.ts';
import { scanRefList } from '../../server/dialect/references.ts';
import { readSpecification } from '../../server/dialect/specification.ts';
import { opensTag, readItem, readTag } from '../../server/dialect/tag.ts';
import { fragments } from '../support/written-tags.ts';

/** All spans in a tree: objects with a start and an end. */
function spansIn(
  node: unknown,
  found: { start: number; end: number }[] = [],
): { start: number; end: number }[] {
  if (typeof node !== 'object' || node === null) return found;
  if ('start' in node && 'end' in node && typeof node.start === 'number' && typeof node.end === 'number') {
    found.push({ start: node.start, end: node.end });
  } else for (const child of Object.values(node)) spansIn(child, found);
  return found;
}

function expectSound(whole: string, tree: unknown, start: number, end: number): void {
  for (const span of spansIn(tree)) {
    expect(span.start).toBeGreaterThanOrEqual(start);
    expect(span.end).toBeLessThanOrEqual(end);
    expect(span.start).toBeLessThanOrEqual(span.end);
    for (const at of [span.start, span.end]) {
      const splits = /[\ud800-\udbff]/.test(whole.charAt(at - 1)) && /[\udc00-\udfff]/.test(whole.charAt(at));
      expect(splits).toBe(false);
    }
  }
  expectFinite(tree);
}

/** Quantities are numbers; only the open bounds of `<` and `>` are infinite. */
function expectFinite(node: unknown): void {
  if (typeof node !== 'object' || node === null) return;
  for (const [key, value] of Object.entries(node)) {
    if (typeof value === 'number') expect(Number.isNaN(value)).toBe(false);
    if (typeof value === 'number' && key === 'value') expect(Number.isFinite(value)).toBe(true);
    expectFinite(value);
  }
}

/** As its writer would, and as a hurried one would. */
const text = fc.oneof(
  fragments,
  fragments.map((written) => written.toLowerCase()),
);

const runs = { seed: 20311, numRuns: 400 };

test('a tag in braces', () => {
  fc.assert(
    fc.property(text, (inner) => {
      const whole = `So {${inner}} it is`;
      const end = 4 + inner.length;
      opensTag(whole, 4, end);
      const read = readTag(whole, { start: 4, end }, { start: 3, end: end + 1 }, 'braces');
      expectSound(whole, read, 3, end + 1);
    }),
    runs,
  );
});

test('a list item', () => {
  fc.assert(
    fc.property(text, (written) => {
      const whole = `- ${written}`;
      expectSound(whole, readItem(whole, { start: 2, end: whole.length }), 2, whole.length);
    }),
    runs,
  );
});

test('a cell, a passage of conditions, and the scanners alone', () => {
  const refOf = scanRefList('V5', 0)?.refs[0];
  fc.assert(
    fc.property(text, (written) => {
      const whole = `| ${written} |`;
      const span = { start: 2, end: 2 + written.length };
      expectSound(whole, readSpecification('capacitor', whole, span), span.start, span.end);
      expectSound(whole, readSpecification('transformer', whole, span), span.start, span.end);
      if (refOf !== undefined) {
        const { item, ...rest } = readValueFor(refOf, 'mA', whole, span) ?? {};
        expectSound(whole, { item: { ...item, at: undefined }, rest }, span.start, span.end);
      }
      expectSound(whole, readConditions(whole, span), span.start, span.end);
      expectSound(whole, findConditions(whole, span), span.start, span.end);
      for (let at = 0; at < written.length; at++) {
        expect(scanPoint(written, at)?.end ?? at + 1).toBeGreaterThan(at);
        expect(scanRefList(written, at)?.end ?? at + 1).toBeGreaterThan(at);
      }
    }),
    { ...runs, numRuns: 200 },
  );
});
