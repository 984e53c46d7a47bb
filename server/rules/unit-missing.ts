/** Owns the rule unit-missing: a bare number stands where its unit is not obvious. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const unitMissing = defineRule({
  id: 'unit-missing',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A bare number stands where its unit is not obvious.',
  why: 'A number without a unit is read by the kind of part or point. Where that is not obvious, the reader had to choose, and says so.',
  howToFix: 'Write the unit.',
  source: 'grammar/dialect.md',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- L1: 10\n', names: '10' },
  good: { sheet: '# Job\n\n## As found\n\n- L1: 10 H\n' },
  check: (context) => reportProblems(context, 'unit-missing', 'hint'),
  fix: (context, finding) => offeredFixes(context, finding, 'unit-missing'),
});
