/** Wilson's interval against the values printed for it, and against what defines it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wilsonInterval, Z_95 } from '../../server/shop/wilson.ts';
import { sayHowOften } from '../../server/summary/repeats.ts';
import { englishSpeech } from '../../server/summary/speech.ts';

const NEWCOMBE =
  'R. G. Newcombe, Two-sided confidence intervals for the single proportion: comparison of seven methods, Statistics in Medicine 17 (1998) 857–872, Table I, method 3 (score, without correction); from memory, and the same in a public test of another implementation';

/** Four decimals, as printed. */
const PUBLISHED = [
  { count: 81, of: 263, low: 0.2553, high: 0.3662, source: NEWCOMBE },
  { count: 15, of: 148, low: 0.0624, high: 0.1605, source: NEWCOMBE },
  { count: 0, of: 20, low: 0, high: 0.1611, source: NEWCOMBE },
  { count: 1, of: 29, low: 0.0061, high: 0.1718, source: NEWCOMBE },
];

describe('the interval of a share', () => {
  it.each(PUBLISHED)('$count of $of is $low to $high ($source)', ({ count, of, low, high }) => {
    const interval = wilsonInterval(count, of);
    if (!interval.ok) throw new Error(interval.reason);
    expect(Number(interval.value.low.toFixed(4))).toBe(low);
    expect(Number(interval.value.high.toFixed(4))).toBe(high);
  });

  it('comes out as its doc block says', () => {
    const interval = wilsonInterval(3, 8);
    if (!interval.ok) throw new Error(interval.reason);
    expect(interval.value.low).toBeCloseTo(0.136844, 6);
    expect(interval.value.high).toBeCloseTo(0.694258, 6);
  });

  it('ends where the count is exactly z standard errors away (the definition of 1927)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5000 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (of, share) => {
          const count = Math.round(share * of);
          const interval = wilsonInterval(count, of);
          if (!interval.ok) throw new Error(interval.reason);
          const { low, high } = interval.value;
          expect(low).toBeLessThanOrEqual(count / of);
          expect(high).toBeGreaterThanOrEqual(count / of);
          for (const end of [low, high]) {
            if (end === 0 || end === 1) continue;
            const error = Math.sqrt((end * (1 - end)) / of);
            expect(Math.abs(count / of - end) / error).toBeCloseTo(Z_95, 6);
          }
        },
      ),
      { seed: 19, numRuns: 200 },
    );
  });

  it.each([
    [0, 0],
    [3, 2],
    [-1, 4],
    [1.5, 4],
    [1, Number.NaN],
    [1, Number.POSITIVE_INFINITY],
  ])('%d of %d is refused', (count, of) => {
    expect(wilsonInterval(count, of).ok).toBe(false);
  });
});

describe('how little a count proves is said', () => {
  it.each([
    [3, 8, '3 of 8 visits (38 %); with so few, anything from 14 to 69 % fits'],
    [1, 1, '1 of 1 visit: one visit proves next to nothing (anything from 21 to 100 % fits)'],
    [2, 2, '2 of 2 visits (100 %); with so few, anything from 34 to 100 % fits'],
    [40, 400, '40 of 400 visits (10 %); 7 to 13 % fits'],
    [4, 987, '4 of 987 visits (0.4 %); 0.2 to 1 % fits'],
  ])('%d of %d', (count, of, said) => {
    expect(sayHowOften(count, of, englishSpeech).replaceAll('\u00a0', ' ')).toBe(said);
  });
});
