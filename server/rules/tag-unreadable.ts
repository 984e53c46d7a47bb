/** Owns the rule tag-unreadable: a brace or item that opens as a tag and cannot be read. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const tagUnreadable = defineRule({
  id: 'tag-unreadable',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A tag opens and cannot be read.',
  why: 'A brace that starts with a part, a point, `?`, `accept` or `keep` is meant for the arithmetic. If it cannot be read, its number is missing from every figure, and nobody would notice.',
  howToFix:
    'The message says where reading stopped and what was expected there. Write the tag in one of the forms of the dialect, or put a backslash before the brace if it is ordinary text.',
  source: 'grammar/dialect.md',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\nThe screen {V5.g2: } was not taken.\n', names: 'V5.g2:' },
  good: { sheet: '# Job\n\n## As found\n\nThe screen {V5.g2: 322 V} and a plain {brace}.\n' },
  check: (context) => reportProblems(context, 'tag-unreadable', 'warning'),
  fix: (context, finding) => offeredFixes(context, finding, 'tag-unreadable'),
});
