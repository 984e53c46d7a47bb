/** Holds the rules against amplifiers whose truth is known: silence on units with nothing wrong, the right name on those with one fault. */
import { describe, expect, it } from 'vitest';
import { sayFinding } from '../support/check.ts';
import { DESIGNS, drawUnit } from './designs.ts';
import { findingsIn } from './findings.ts';
import { healthySheets } from './healthy.ts';
import { createChance } from './random.ts';
import { isLoud, judge, sickSheets } from './sick.ts';

describe('the healthy corpus', () => {
  const sheets = healthySheets();

  it('is at least thirty units, the same every time', () => {
    expect(sheets.length).toBeGreaterThanOrEqual(30);
    for (const design of DESIGNS.slice(0, 3)) {
      expect(drawUnit(design, createChance(7))).toEqual(drawUnit(design, createChance(7)));
    }
  });

  it('gets no warning and no error', () => {
    const accused: string[] = [];
    for (const { name, text, chassis } of sheets) {
      accused.push(
        ...findingsIn(text, chassis)
          .filter(isLoud)
          .map((finding) => `${name}: ${sayFinding(finding, text)}`),
      );
    }
    expect(accused).toEqual([]);
  });
});

/** At least this share of the faults must be found by name, and no more than this many healthy parts be accused by the way. */
const LEAST_FOUND = 0.9;
const MOST_ACCUSED = 0;

describe('the sick corpus', () => {
  // One unit for each fault; the benchmark's table takes four.
  const sheets = sickSheets(1);

  it('has far more than a dozen kinds of fault', () => {
    expect(new Set(sheets.map(({ kind }) => kind)).size).toBeGreaterThanOrEqual(40);
  });

  it('is found by the rule that should find it, on the part that has it, and nothing else is accused', () => {
    const missed: string[] = [];
    const accused: string[] = [];
    let judged = 0;
    for (const sheet of sheets) {
      const verdict = judge(sheet, findingsIn(sheet.text));
      if (!verdict.isJudged) continue;
      judged++;
      if (!verdict.isHit) missed.push(sheet.name);
      accused.push(...verdict.accusations.map((each) => `${sheet.name}: ${sayFinding(each, sheet.text)}`));
    }
    expect(missed.length, missed.join('\n')).toBeLessThanOrEqual((1 - LEAST_FOUND) * judged);
    expect(accused.length, accused.join('\n')).toBeLessThanOrEqual(MOST_ACCUSED);
  });
});
