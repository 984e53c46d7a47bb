/** Owns the rule line-in-prose: a reading or a part's line that stands in running text, where it is only words. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const lineInProse = defineRule({
  id: 'line-in-prose',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A reading or a part’s line stands in running text, where it is only words.',
  why: 'Only a list item and what stands in braces is read. A line of readings between two sentences, or one whose refs are in small letters and which has words behind its numbers, looks as if it were, and no figure is made of it.',
  howToFix:
    'Put it in braces, begin its line with “- ”, or write its refs in capitals. Only lines that read whole are found: two values or more with their units or electrodes, or a part with its value and rating.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## As found\n\nIt hummed and V5 ran hot.\nV5 lifted: B+1: 362 V, B+2: 350 V\nThen it went quiet.\n',
    names: 'V5 lifted: B+1: 362 V, B+2: 350 V',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\nIt hummed and V5 ran hot, V5: it read 331 or so.\n\n- V5 lifted: B+1: 362 V, B+2: 350 V\n',
  },
  check: (context) => reportProblems(context, 'line-in-prose', 'hint'),
  fix: (context, finding) => offeredFixes(context, finding, 'line-in-prose'),
});
