/** Measures how the time of comparing two revisions of a chassis grows with their length, where as many parts differ. */

import { compareAmplifiers } from '../../server/shop/compare.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { englishShop } from '../../server/shop/shop-words.ts';
import { longSheet } from './long-sheet.ts';
import { fastest, growthOf } from './measure.ts';

const URI = 'file:///chassis.tagstrip.md';
const LINES = [500, 1000, 2000, 4000];
const CHANGED = ['R10', 'R20', 'R30', 'R40'];

/** A 500-line chassis is more than any amplifier has; the value is its time. */
export async function measureCompare(): Promise<
  Record<string, { readonly value: number; readonly unit: string; readonly baseline: string }>
> {
  const points: (readonly [lines: number, time: number])[] = [];
  for (const lines of LINES) {
    const was = longSheet(lines).replace('job: 1', 'sheet: chassis');
    const is = CHANGED.reduce((text, ref) => text.replace(`${ref} = 100k`, `${ref} = 220k`), was);
    const [one, two] = [await analyse(was), await analyse(is)];
    const { catalogue, house } = two.input;
    const time = fastest(() => {
      const { parts } = compareAmplifiers(one.amplifier, two.amplifier, { catalogue, house }, englishShop);
      const changed = parts.filter(({ verdict }) => verdict === 'changed').length;
      if (changed !== CHANGED.length) throw new Error(`${changed} parts are said to differ`);
    });
    points.push([lines, time]);
  }
  return {
    'compare-500': {
      value: points[0]?.[1] ?? Number.NaN,
      unit: 'ms',
      baseline: `two revisions of ${LINES[0]} lines that differ in ${CHANGED.length} parts, their analysis apart`,
    },
    'compare-growth': {
      value: growthOf(points),
      unit: '1',
      baseline: `linear growth is 1; ${LINES.join(', ')} lines`,
    },
  };
}

async function analyse(text: string): Promise<Analysis> {
  const analysis = await createShop({ files: memoryFiles({ [URI]: text }) }).analyse(URI);
  if (analysis === undefined) throw new Error('the chassis sheet is not there');
  return analysis;
}
