/** Holds where words stand: never on other words, never outside, rather off other lines. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  boxOf,
  createPlacing,
  distanceOf,
  fitted,
  isInside,
  overlaps,
  spread,
  textWidth,
} from '../../../server/summary/plot/label.ts';

const BOUNDS = { left: 0, right: 400, top: 0, bottom: 200 };

describe('a line’s name', () => {
  it('stands on the side where no other line is', () => {
    const upper = [80, 80].map((y, i) => ({ x: i * 400, y }));
    const lower = [110, 110].map((y, i) => ({ x: i * 400, y }));
    const placing = createPlacing(BOUNDS, [upper, lower]);
    const [above, below] = [
      placing.along({ text: 'before', size: 12, line: upper }),
      placing.along({ text: 'after', size: 12, line: lower }),
    ];
    expect(above?.at.y).toBeLessThan(80);
    expect(below && boxOf(below).top).toBeGreaterThan(110);
  });
  it('is nearer to its own line than to another', () => {
    const one = Array.from({ length: 20 }, (_, i) => ({ x: i * 20, y: 30 + i * 7 }));
    const two = one.map(({ x, y }) => ({ x, y: y + 12 }));
    const placing = createPlacing(BOUNDS, [one, two]);
    const label = placing.along({ text: 'first', size: 12, line: one });
    if (label === undefined) throw new Error('no place');
    const nearest = (line: typeof one) => Math.min(...line.map((spot) => distanceOf(boxOf(label), spot)));
    expect(nearest(one)).toBeLessThan(nearest(two));
  });
  it('is left out where there is no room, and cut where it is too long for any', () => {
    const small = { left: 0, right: 60, top: 0, bottom: 10 };
    const line = [
      { x: 0, y: 5 },
      { x: 60, y: 5 },
    ];
    expect(createPlacing(small, [line]).along({ text: 'after', size: 12, line })).toBeUndefined();
    expect(fitted('an endless name', 12, 60)).toMatch(/^an.*…$/);
    expect(fitted('after', 12, 60)).toBe('after');
    expect(fitted('after', 12, 2)).toBe('');
  });
});

it('whatever is named, names stay inside and off each other', () => {
  const spot = fc.record({ x: fc.integer({ min: 0, max: 400 }), y: fc.integer({ min: 0, max: 200 }) });
  const lines = fc.array(fc.array(spot, { minLength: 1, maxLength: 8 }), { minLength: 1, maxLength: 5 });
  fc.assert(
    fc.property(lines, fc.array(fc.string({ maxLength: 30, unit: 'grapheme' })), (all, texts) => {
      const placing = createPlacing(BOUNDS, all);
      for (const [i, text] of texts.entries())
        placing.along({ text, size: 12, line: all[i % all.length] ?? [] });
      const boxes = placing.labels.map(boxOf);
      for (const [i, box] of boxes.entries()) {
        expect(isInside(box, BOUNDS)).toBe(true);
        for (const other of boxes.slice(i + 1)) expect(overlaps(box, other)).toBe(false);
      }
    }),
    { seed: 11, numRuns: 40 },
  );
});

it('names beside a plot keep their order and their distance', () => {
  expect(spread([50, 52, 51], 15, 0, 100)).toEqual([50, 80, 65]);
  expect(spread([95, 99], 15, 0, 100)).toEqual([85, 100]);
});

it('counts a wide letter as wide and a narrow one as narrow', () => {
  expect(textWidth('WWW', 10)).toBeGreaterThan(textWidth('iii', 10) * 2);
});
