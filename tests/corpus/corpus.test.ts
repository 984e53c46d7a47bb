/** Holds the rules against amplifiers whose truth is known: silence on units with nothing wrong, the right name on those with one fault. */
import { describe, expect, it } from 'vitest';
import { analyse, sayFinding } from '../support/check.ts';
import { healthySheets } from './healthy.ts';

const isLoud = ({ severity }: { readonly severity: string }): boolean =>
  severity === 'warning' || severity === 'error';

describe('the healthy corpus', () => {
  const sheets = healthySheets();

  it('is at least thirty units, the same every time', () => {
    expect(sheets.length).toBeGreaterThanOrEqual(30);
    expect(healthySheets()).toEqual(sheets);
  });

  it('gets no warning and no error', async () => {
    const accused: string[] = [];
    for (const { name, text } of sheets) {
      const { findings } = await analyse(text);
      accused.push(...findings.filter(isLoud).map((finding) => `${name}: ${sayFinding(finding, text)}`));
    }
    expect(accused).toEqual([]);
  });
});
