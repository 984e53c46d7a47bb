/** The tolerance of a resistor that has none written, by what it is said to be. Common practice, no source. */
import { expect, test } from 'vitest';
import { usualResistorTolerance } from '../../server/catalogue/resistor-tolerance.ts';

test.each([
  [['carbon', 'comp'], 0.2],
  [['metal', 'film'], 0.02],
  [['carbon', 'film'], 0.05],
  [['wirewound'], 0.05],
  [['metal', 'oxide'], 0.05],
  [[], 0.1],
])('%j: %d', (kinds, share) => {
  const usual = usualResistorTolerance(kinds);
  expect(usual.share).toBe(share);
  expect(usual.trust.source).toContain('no source');
});
