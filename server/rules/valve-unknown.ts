/** Owns the rule valve-unknown: a valve type that the catalogue does not know, or that names more than one valve. */
import type { ChangeStatement, FittedStatement, Sheet, Statement } from '../sheet/model.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { createPicker } from '../text/picking.ts';
import { defineRule, type Report } from './rule.ts';

export const valveUnknown = defineRule({
  id: 'valve-unknown',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A valve type is not in the catalogue.',
  why: 'Pins, limits and screen current come from the catalogue. For an unknown type there is no dissipation verdict, and silence would look like approval.',
  howToFix:
    'Check the spelling; the nearest known types are offered. If the type is right, nothing is wrong with the sheet: the valve is simply not judged.',
  source: 'the catalogue’s own list',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- V5 = 6V6GX9\n', names: 'V5' },
  good: { sheet: '# Job\n\n## As found\n\n- V5 = 6V6GT\n' },
  check({ sheet, catalogue }) {
    const reports: Report[] = [];
    for (const statement of lookUpIn(sheet, 'valves fitted', valvesFitted)) {
      const specifications =
        statement.kind === 'fitted' ? [statement.specification] : [statement.was, statement.is];
      for (const type of specifications.map((each) => each?.type)) {
        if (type === undefined) continue;
        const found = catalogue.findValve(type.text);
        if (found !== undefined && 'valve' in found) continue;
        const source = { file: sheet.uri, span: type.span };
        if (found !== undefined) {
          reports.push({
            severity: 'warning',
            subject: statement.ref.name,
            message: `${type.text}: ${found.ask}`,
            source,
          });
          continue;
        }
        const near = catalogue.nearestValves(type.text);
        const advice = near.length === 0 ? '' : ` The nearest known: ${near.join(', ')}.`;
        reports.push({
          severity: 'warning',
          subject: statement.ref.name,
          message: `The catalogue does not know ${type.text}, so ${statement.ref.name} has no pins, limits or dissipation verdict here.${advice}`,
          source,
        });
      }
    }
    return reports;
  },
  fix: ({ sheet, catalogue }, finding) => {
    const { span } = finding.source;
    const written = sheet.snapshot.text.slice(span.start, span.end);
    return catalogue
      .nearestValves(written)
      .map((text) => ({ title: `Write ${text}`, safety: 'suggestion' as const, edits: [{ span, text }] }));
  },
});

const pickValves = createPicker<Statement, FittedStatement | ChangeStatement>((statement) =>
  (statement.kind === 'fitted' || statement.kind === 'change') && statement.ref.class === 'valve'
    ? statement
    : undefined,
);

function valvesFitted({ statements, note }: Sheet): readonly (FittedStatement | ChangeStatement)[] {
  return pickValves(statements, note.thread);
}
