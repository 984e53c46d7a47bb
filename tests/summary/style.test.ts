/** Holds the pages' own colours to the contrast that text needs to be read. */
import { describe, expect, it } from 'vitest';
import { COLOURS, styleFor } from '../../server/summary/style.ts';

/** Relative luminance and contrast ratio as WCAG 2.1 defines them (from memory; black on white is 21). */
function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.03928 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string): number {
  const [bright = 0, dim = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (bright + 0.05) / (dim + 0.05);
}

describe('the colours of a page', () => {
  it('measures black on white as 21', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  });

  for (const [name, colours] of Object.entries(COLOURS)) {
    for (const text of ['ink', 'quiet', 'alarm'] as const)
      for (const ground of ['paper', 'tint'] as const)
        it(`${name}: ${text} on ${ground} reads at 4.5 or more`, () => {
          expect(contrast(colours[text], colours[ground])).toBeGreaterThanOrEqual(4.5);
        });
    for (const line of ['fill', 'alarm', 'ink'] as const)
      it(`${name}: ${line} of a bar stands out from the paper at 3 or more`, () => {
        expect(contrast(colours[line], colours.paper)).toBeGreaterThanOrEqual(3);
      });
  }

  it('loads nothing', () => {
    for (const reader of ['bench', 'customer', 'label'] as const)
      expect(styleFor(reader, 'A4')).not.toMatch(/url\(|@import|expression\(|<\//i);
  });

  it('is printed on the shop’s paper where it says one', () => {
    expect(styleFor('bench')).not.toContain('@page{size');
    expect(styleFor('bench', 'Letter')).toContain('@page{size:Letter}');
    expect(styleFor('label')).toContain('width:90mm;min-height:50mm');
  });
});
