/** Owns the rule text-garbled: a sign beside a number was garbled in copying. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const textGarbled = defineRule({
  id: 'text-garbled',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A sign beside a number was garbled in copying.',
  why: '`ÂµF` or `Î©` is what a wrong character encoding makes of µF and Ω. What was meant is likely but not certain.',
  howToFix: 'Replace the garbled sign; the fix offers the likely one.',
  source: 'Unicode: UTF-8 read as Latin-1',
  options: {},
  bad: { sheet: '# Job\n\n## Parts\n\n- C12 = 47 ÂµF 25V\n', names: 'Âµ' },
  good: { sheet: '# Job\n\n## Parts\n\n- C12 = 47 µF 25V\n' },
  check: (context) => reportProblems(context, 'text-garbled', 'warning'),
  fix: (context, finding) => offeredFixes(context, finding, 'text-garbled'),
});
