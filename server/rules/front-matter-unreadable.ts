/** Owns the rule front-matter-unreadable: the block between the dashes at the head cannot be read. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const frontMatterUnreadable = defineRule({
  id: 'front-matter-unreadable',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'The block between the dashes at the head cannot be read.',
  why: 'The job number, the chassis sheet and the mains are taken from there; unreadable, they are as good as not written.',
  howToFix: 'The message says where. The block starts on the first line with --- and ends with ---.',
  source: 'YAML 1.2',
  options: {},
  bad: { sheet: '---\njob: [2031\n---\n# Job\n' },
  good: { sheet: '---\njob: 2031\n---\n# Job\n' },
  check: (context) => reportProblems(context, 'front-matter-unreadable', 'warning'),
  fix: (context, finding) => offeredFixes(context, finding, 'front-matter-unreadable'),
});
