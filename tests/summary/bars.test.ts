/** Holds the bars to their picture: the limit line where the limit is, stripes only beyond it, nothing outside the frame. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawBar, scaleOf } from '../../server/summary/bars.ts';
import { tagsOf } from './page.ts';

function partsOf(share: number, scale: number) {
  const tags = tagsOf(drawBar({ share, says: `${share}` }, scale).markup);
  const numbers = (name: string) =>
    tags
      .filter(({ attributes }) => attributes.class === name)
      .map(({ attributes }) =>
        Object.fromEntries(Object.entries(attributes).map(([key, value]) => [key, Number(value)])),
      );
  return { fill: numbers('fill')[0], limit: numbers('limit')[0], over: numbers('over') };
}

describe('a bar', () => {
  it('is filled to its share and has the limit line at 1', () => {
    const { fill, limit, over } = partsOf(0.5, 1.25);
    expect(limit?.x1).toBe(96);
    expect((fill?.x ?? 0) + (fill?.width ?? 0)).toBe(48);
    expect(over).toEqual([]);
  });

  it('stripes what lies beyond the limit', () => {
    const { fill, limit, over } = partsOf(1.16, 1.25);
    expect((fill?.x ?? 0) + (fill?.width ?? 0)).toBe(limit?.x1);
    expect(over.length).toBeGreaterThan(2);
    expect(over.every(({ x = 0 }) => x > (limit?.x1 ?? 0))).toBe(true);
  });

  it('has one scale for a table, and no wild reading squashes the others', () => {
    expect(scaleOf([])).toBe(1.25);
    expect(scaleOf([0.3, 1.6])).toBe(1.6);
    expect(scaleOf([0.3, 40, Number.NaN])).toBe(2);
  });

  it('never leaves its frame', () => {
    const shares = fc.double({ min: -1, max: 50, noNaN: true });
    fc.assert(
      fc.property(shares, shares, shares, (share, low, high) => {
        const { markup } = drawBar({ share, low, high, says: '' }, scaleOf([share]));
        const tags = tagsOf(markup);
        const ends = tags.flatMap(({ attributes: { x, width, x1, x2 } }) =>
          [x, x1, x2, x !== undefined ? String(Number(x) + Number(width)) : undefined].flatMap((each) =>
            each === undefined ? [] : [Number(each)],
          ),
        );
        expect(ends.every((end) => end >= 0 && end <= 120.5)).toBe(true);
      }),
      { seed: 7, numRuns: 200 },
    );
  });
});
