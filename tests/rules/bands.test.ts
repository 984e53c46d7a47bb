/** How a number with a band is held against a limit: a warning by the middle of the band, an error by its low end. */
import { describe, expect, it } from 'vitest';
import { severityOf, shareOfLimit } from '../../server/rules/bands.ts';

const STEPS = [
  { severity: 'error', above: 1 },
  { severity: 'warning', above: 1 },
  { severity: 'info', above: 0.9 },
] as const;

/** Watts of a valve rated 12 W. */
const at = (told: number, low?: number, high?: number) =>
  severityOf(
    shareOfLimit(
      {
        quantity: { value: told, unit: 'W' },
        ...(low !== undefined && { low }),
        ...(high !== undefined && { high }),
      },
      12,
    ),
    STEPS,
  );

describe('12 W', () => {
  it('are broken by a number that is sure', () => {
    expect([at(12.1), at(11.9), at(10.7)]).toEqual(['error', 'info', undefined]);
  });

  it('are broken by a band only from its low end on', () => {
    expect([at(13, 12.1, 13.9), at(13, 11.9, 14.1)]).toEqual(['error', 'warning']);
  });

  it('are held against the middle of a band, wherever in it the number stands that is told', () => {
    expect([at(11.9, 11.5, 13), at(12.1, 11, 12.2)]).toEqual(['warning', 'info']);
  });

  it('are accused by no band that reaches far below them', () => {
    expect(at(13, 10, 16)).toBe('info');
    expect(at(13, 9, 17)).toBeUndefined();
  });

  it('are held against what is told where nothing says how far up it reaches', () => {
    expect([at(12.1, 11.9), at(11.9, 11)]).toEqual(['warning', 'info']);
  });
});
