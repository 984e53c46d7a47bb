/** Runs the examples of every rule's page: the bad one names its subject exactly once, the good one is silent, and fixes obey the laws of fixes. */
import { describe, expect, it } from 'vitest';
import { fixes } from '../../server/features/fixes.ts';
import { rules } from '../../server/rules/registry.ts';
import { applyEdits, areDisjoint } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';
import { variants } from '../support/fixture.ts';

/** Rules that ask for a reading. */
const FILLED_IN: ReadonlySet<string> = new Set([
  'discharge-unrecorded',
  'earth-unchecked',
  'check-out-missing',
  'conditions-missing',
]);

describe.each(rules.map((rule) => [rule.id, rule] as const))('%s', (id, rule) => {
  it('finds what the bad example names, once, and points inside the text', async () => {
    const { findings, sheet } = await analyse(rule.bad.sheet, rule.bad.beside);
    const own = findings.filter((finding) => finding.rule === id);
    expect(own).toHaveLength(1);
    const [finding] = own;
    if (rule.bad.names !== undefined) expect(finding?.subject).toBe(rule.bad.names);
    expect(finding?.source.span.end).toBeLessThanOrEqual(sheet.snapshot.text.length);
    expect(finding?.message).not.toMatch(/undefined|NaN|Infinity|\bsafe\b/);
  });

  it('is silent on the good example, and so is every rule above information', async () => {
    const { findings } = await analyse(rule.good.sheet, rule.good.beside);
    expect(findings.filter((finding) => finding.rule === id)).toEqual([]);
    expect(findings.filter(({ severity }) => severity === 'error' || severity === 'warning')).toEqual([]);
  });

  it('says the same whatever the line ends, marks and signs around it', async () => {
    if (rule.id === 'sheet-too-large' || rule.id === 'front-matter-unreadable') return;
    const plain = (await analyse(rule.bad.sheet, rule.bad.beside)).findings.map(
      ({ rule: name, subject, severity }) => `${severity} ${name} ${subject}`,
    );
    for (const { name, fixture } of variants(rule.bad.sheet, { emoji: false })) {
      const { findings } = await analyse(fixture.files[0]?.text ?? '', rule.bad.beside);
      expect(
        findings.map(({ rule: r, subject, severity }) => `${severity} ${r} ${subject}`),
        name,
      ).toEqual(plain);
    }
  });

  it('offers fixes that stand alone, mend the finding and change nothing twice', async () => {
    const analysis = await analyse(rule.bad.sheet, rule.bad.beside);
    const finding = analysis.findings.find((each) => each.rule === id);
    if (finding === undefined) throw new Error('no finding');
    if (rule.bad.fixed !== undefined) {
      const [first] = fixes(analysis, finding.source.span).filter((each) => each.finding === finding);
      expect(applyEdits(rule.bad.sheet, first?.edits ?? [])).toBe(rule.bad.fixed);
    }
    for (const fix of fixes(analysis, finding.source.span).filter((each) => each.finding.rule === id)) {
      expect(fix.title).toMatch(/^[A-Z][a-z]+ /);
      const fixed = applyEdits(rule.bad.sheet, fix.edits);
      expect(fixed).not.toBe(rule.bad.sheet);
      expect(areDisjoint(fix.edits)).toBe(true);
      const after = await analyse(fixed, rule.bad.beside);
      const warnings = (all: typeof after.findings) =>
        all
          .filter(({ severity }) => severity === 'warning' || severity === 'error')
          .map(({ rule: name, subject }) => `${name} ${subject}`);
      const before = new Set(warnings(analysis.findings));
      expect(warnings(after.findings).filter((each) => !before.has(each))).toEqual([]);
      const stays = after.findings.find((each) => each.rule === id && each.subject === finding.subject);
      // What only a meter can mend is offered as a line to fill in, once.
      if (FILLED_IN.has(id)) {
        expect(
          fixes(after, stays?.source.span ?? finding.source.span).map(({ title }) => title),
        ).not.toContain(fix.title);
      } else {
        expect(after.findings.filter((each) => each.rule === id && each.subject === finding.subject)).toEqual(
          [],
        );
      }
    }
  });
});
