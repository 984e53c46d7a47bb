/** Owns the rule value-ambiguous: a value whose spelling has more than one meaning. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const valueAmbiguous = defineRule({
  id: 'value-ambiguous',
  since: '0.1.0',
  category: 'writing',
  severities: 'I',
  summary: 'A value can be read in two ways, so no figure is made of it.',
  why: '`1,500` is one and a half to one reader and fifteen hundred to another; `22 mF` is 22 µF on an old drawing and a thousand times that by the SI. A guess would be silently wrong by a factor of a thousand.',
  howToFix: 'Choose one of the two spellings offered; each has only one meaning.',
  source:
    'IEC 60062 and the SI brochure for what a symbol means; common practice, no source, for what old drawings mean by it',
  options: {},
  bad: { sheet: '# Job\n\n## Parts\n\n- C12 = 22 mF 25V\n', names: '22 mF' },
  good: { sheet: '# Job\n\n## Parts\n\n- C12 = 22 uF 25V\n' },
  check: (context) => reportProblems(context, 'value-ambiguous', 'info'),
  fix: (context, finding) => offeredFixes(context, finding, 'value-ambiguous'),
});
