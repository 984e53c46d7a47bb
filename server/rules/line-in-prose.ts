/** Owns the rule line-in-prose: a reading or a part's line that stands in running text, where it is only words. */
import { defineRule, type RuleContext } from './rule.ts';
import { offeredFixes, reportProblems } from './writing.ts';

export const lineInProse = defineRule({
  id: 'line-in-prose',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A reading or a part’s line stands in running text, where it is only words.',
  why: 'Only a list item and what stands in braces is read. A line of readings between two sentences, or one whose refs are in small letters and which has words behind its numbers, looks as if it were, and no figure is made of it. The same goes for an item that lacks its sign (`- R31 2k9`, `- L1 OL`).',
  howToFix:
    'Put it in braces, begin its line with “- ”, write its refs in capitals, or put the sign in: “:” before what was read, “=” before what is fitted. Only lines that read whole are found: two values or more with their units or electrodes, a part with its value and rating, or an item that begins with a part or a point of this amplifier, or names one beside a number in the words of a reading.',
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
  check: (context) =>
    reportProblems(
      context,
      'line-in-prose',
      'hint',
      ({ about }) => about === undefined || has(context, about),
    ),
  fix: (context, finding) => offeredFixes(context, finding, 'line-in-prose'),
});

/** Points that every amplifier has without their being declared, and that no sentence begins with before a number. */
const READY_MADE: ReadonlySet<string> = new Set(['bias', 'heaters']);

/** Whether the amplifier has a part or a point of the name in some phase. */
function has({ amplifier }: RuleContext, name: string): boolean {
  if (READY_MADE.has(name)) return true;
  return amplifier.phases.some(
    ({ parts, circuit }) =>
      parts.has(name) ||
      circuit.nodeOf(name) !== undefined ||
      [...parts.values()].some(({ whole }) => whole === name),
  );
}
