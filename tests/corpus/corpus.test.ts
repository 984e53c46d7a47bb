/** Holds the rules against amplifiers whose truth is known: silence on units with nothing wrong, the right name on those with one fault. */
import { describe, expect, it } from 'vitest';
import { analyse, sayFinding } from '../support/check.ts';
import { healthySheets } from './healthy.ts';
import { isLoud, judge, sickSheets } from './sick.ts';

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

/** At least this share of the faults must be found by name, and no more than this many healthy parts be accused by the way. */
const LEAST_FOUND = 0.9;
const MOST_ACCUSED = 0;

describe('the sick corpus', () => {
  const sheets = sickSheets();

  it('has a dozen kinds of fault and more, each in several units', () => {
    expect(new Set(sheets.map(({ kind }) => kind)).size).toBeGreaterThanOrEqual(12);
    expect(sheets.length).toBeGreaterThanOrEqual(80);
  });

  it('is found by the rule that should find it, on the part that has it, and nothing else is accused', async () => {
    const missed: string[] = [];
    const accused: string[] = [];
    let judged = 0;
    for (const sheet of sheets) {
      const { findings } = await analyse(sheet.text);
      const verdict = judge(sheet, findings);
      if (!verdict.isJudged) continue;
      judged++;
      if (!verdict.isHit) missed.push(sheet.name);
      accused.push(...verdict.accusations.map((each) => `${sheet.name}: ${sayFinding(each, sheet.text)}`));
    }
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual((1 - LEAST_FOUND) * judged);
    expect(accused.length, accused.join('\n')).toBeLessThanOrEqual(MOST_ACCUSED);
  });
});
