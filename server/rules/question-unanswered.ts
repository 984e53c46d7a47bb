/** Owns the rule question-unanswered: a question of the writer's that could not be answered, and why. */
import { defineRule, type Report } from './rule.ts';

export const questionUnanswered = defineRule({
  id: 'question-unanswered',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A question of the sheet has no answer.',
  why: 'A question asks for a number. Where one of its names has no value, or volts meet amperes, there is none, and an empty place should not be taken for nothing.',
  howToFix:
    'The message says what is missing: a reading to be taken, a part to be declared, or units that do not go together.',
  source: 'grammar/dialect.md',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- B+1: 352 V\n\nSo {? B+1 / R6} flows.\n', names: 'B+1 / R6' },
  good: { sheet: '# Job\n\n## As found\n\n- R6 = 10k 2W\n- B+1: 352 V\n\nSo {? B+1 / R6} flows.\n' },
  check({ amplifier, sheet }) {
    const reports: Report[] = [];
    for (const view of amplifier.phases) {
      for (const { subject, reason, source } of view.unanswered) {
        if (source.file !== sheet.uri) continue;
        reports.push({
          severity: 'hint',
          subject,
          phase: view.phase,
          message: `“${subject}” has no answer: ${reason}.`,
          source,
        });
      }
    }
    return reports;
  },
});
