/** Owns the rule sheet-too-large: the sheet is larger than is checked. */
import { defineRule } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const sheetTooLarge = defineRule({
  id: 'sheet-too-large',
  since: '0.1.0',
  category: 'writing',
  severities: 'I',
  summary: 'The sheet is larger than is checked.',
  why: 'Beyond these limits reading would keep the editor waiting, so the sheet is left unread and nothing in it is checked.',
  howToFix: 'Split the sheet: one amplifier, one visit.',
  source: 'house limit',
  options: {},
  bad: { sheet: `# Job\n\n${'x'.repeat(20_001)}\n` },
  good: { sheet: '# Job\n' },
  check: (context) => reportProblems(context, 'sheet-too-large', 'info'),
  fix: (context, finding) => offeredFixes(context, finding, 'sheet-too-large'),
});
