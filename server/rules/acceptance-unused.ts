/** Owns the rule acceptance-unused: something is accepted that was not found. */
import type { Acceptance } from '../sheet/model.ts';
import { createNearest } from '../text/nearest.ts';
import { lineAt, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { isAcceptedBy } from './acceptance.ts';
import { defineRule, type Fix, type Report, type RuleContext } from './rule.ts';
import { isAbout } from './subject.ts';

export const acceptanceUnused = defineRule({
  id: 'acceptance-unused',
  since: '0.1.0',
  category: 'record',
  severities: 'I',
  summary: 'A finding is accepted that is not there.',
  why: 'An acceptance that speaks of nothing reads as if the matter had been looked at. It may name the wrong part, or the trouble may be gone; and if the trouble comes back, it comes back accepted.',
  howToFix:
    'Correct the name of the rule or the part, or take the acceptance out. An acceptance holds for the sheet that it stands in.',
  source: 'what the rules find on this sheet',
  options: {},
  afterOthers: true,
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 300, g2 290, k 19\n\n{accept anode-over-voltage V5: maker’s design}\n',
    names: 'V5',
    fixed: '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 300, g2 290, k 19\n\n',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 23n 630V film\n\n{accept value-uncommon C14: picked from a bag to match the other one}\n',
  },
  check({ sheet, others }) {
    const reports: Report[] = [];
    if (sheet.acceptances.length === 0) return reports;
    const nearest = createNearest(others.ids);
    for (const acceptance of sheet.acceptances) {
      const { rule, ruleSpan, subjects, span } = acceptance;
      if (others.off.has(rule)) continue;
      if (!others.ids.includes(rule)) {
        const near = nearest(rule);
        reports.push({
          severity: 'info',
          subject: rule,
          message: `No rule is called ${rule}, so nothing is accepted here.${near === undefined ? ' The rules are listed with their names in the README.' : ` The nearest is ${near}.`}`,
          source: { file: sheet.uri, span: ruleSpan },
        });
        continue;
      }
      const found = others.found.filter((each) => each.rule === rule);
      if (subjects.length === 0) {
        if (found.length > 0) continue;
        reports.push({
          severity: 'info',
          subject: rule,
          message: `${rule} is accepted for the whole sheet and was found nowhere on it. Take the acceptance out.`,
          source: { file: sheet.uri, span },
        });
        continue;
      }
      const idle = subjects.filter((subject) => !isUsed(acceptance, subject, found));
      const [first] = idle;
      if (first === undefined) continue;
      const elsewhere = [...new Set(found.map(({ subject }) => subject))];
      reports.push({
        severity: 'info',
        subject: first,
        message: `${rule} is accepted for ${idle.join(', ')} and was not found there${elsewhere.length === 0 ? '' : `, but at ${elsewhere.join(', ')}`}. ${elsewhere.length === 0 ? 'Take the acceptance out' : 'Correct the part, or take it out'}.`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
  fix: (context, finding) => {
    const { start, end } = finding.source.span;
    const acceptance = context.sheet.acceptances.find(({ span }) => span.start <= start && end <= span.end);
    if (acceptance === undefined) return [];
    return [...fixName(context, acceptance, finding.message), removal(context, acceptance)];
  },
});

/** Whether a finding of the rule is about this subject, alone or in a pair that the acceptance names. */
function isUsed(acceptance: Acceptance, subject: string, found: RuleContext['others']['found']): boolean {
  return found.some(
    (each) => isAcceptedBy(acceptance, each.rule, each.subject) && isAbout(each.subject, subject),
  );
}

/** The nearest rule, where the message offers one. */
function fixName(context: RuleContext, { ruleSpan }: Acceptance, message: string): readonly Fix[] {
  const near = /The nearest is ([a-z0-9-]+)\.$/.exec(message)?.[1];
  if (near === undefined || context.sheet.kind === 'shop') return [];
  return [{ title: `Write ${near}`, safety: 'suggestion', edits: [{ span: ruleSpan, text: near }] }];
}

function removal({ sheet: { snapshot } }: RuleContext, { span }: Acceptance): Fix {
  return {
    title: 'Remove the acceptance',
    safety: 'suggestion',
    edits: [{ span: wholeLine(snapshot, span) ?? span, text: '' }],
  };
}

/** The line with its ending, where the tag is all that stands on it but for the mark of a list item. */
function wholeLine(snapshot: Snapshot, span: Span): Span | undefined {
  const number = lineAt(snapshot, span.start);
  const line = lineSpan(snapshot, number);
  if (line.end < span.end) return undefined;
  const before = snapshot.text.slice(line.start, span.start);
  const behind = snapshot.text.slice(span.end, line.end);
  if (!/^\s*(?:[-*+]\s+)?$/.test(before) || behind.trim() !== '') return undefined;
  return { start: line.start, end: snapshot.lineStarts[number + 1] ?? line.end };
}
