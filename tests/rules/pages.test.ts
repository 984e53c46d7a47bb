/** Holds the generated pages to the rules, and the rules to having whole pages. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { rulePages, withRuleTable } from '../../.build/rule-pages.ts';
import { rules } from '../../server/rules/registry.ts';

const read = (path: string) => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');

describe('the pages of the rules', () => {
  it('are up to date (else: npm run generate)', async () => {
    expect(read('server/rules/README.md')).toBe(await rulePages());
    expect(read('README.md')).toBe(withRuleTable(read('README.md')));
  });

  it.each(rules.map((rule) => [rule.id, rule] as const))(
    '%s says what, why, what to do and on what it rests',
    (id, rule) => {
      expect(id).toMatch(/^[a-z]+(-[a-z]+)*$/);
      for (const text of [rule.summary, rule.why, rule.howToFix]) expect(text).toMatch(/^[`A-Z0-9.].*[.]$/s);
      expect(rule.source.length).toBeGreaterThan(5);
      expect(rule.severities).toMatch(/[EWIH]/);
      expect([rule.summary, rule.why, rule.howToFix, rule.source].join(' ')).not.toMatch(/\bsafe\b/i);
    },
  );
});
