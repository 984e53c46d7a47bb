/** Owns the rule date-impossible: a date that cannot be. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const dateImpossible = defineRule({
  id: 'date-impossible',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A date that cannot be.',
  why: 'A month of 13 or a year far ahead is a slip of the pen, and ages of parts would be computed from it.',
  howToFix: 'Correct the date, written as 2019, 2019-04 or 2019-04-21.',
  source: 'ISO 8601',
  options: {},
  bad: { sheet: '# Job\n\n## Parts\n\n- C12 = 47uF 450V date 2019-13\n', names: '2019-13' },
  good: { sheet: '# Job\n\n## Parts\n\n- C12 = 47uF 450V date 2019-12\n' },
  check: (context) => reportProblems(context, 'date-impossible', 'warning'),
  fix: (context, finding) => offeredFixes(context, finding, 'date-impossible'),
});
