/** Owns the rule acceptance-without-reason: a finding is accepted and nobody says why. */
import { isAcceptedBy } from './acceptance.ts';
import { defineRule, type Report } from './rule.ts';

export const acceptanceWithoutReason = defineRule({
  id: 'acceptance-without-reason',
  since: '0.1.0',
  category: 'record',
  severities: 'W',
  summary: 'A finding is accepted without a reason.',
  why: 'The reason is the whole worth of an acceptance: in two years nobody knows whether it was the maker’s design, the owner’s money or a slip, and the next technician has to find it out again.',
  howToFix: 'Write the reason behind a colon: `{accept anode-over-voltage V5: maker’s design}`.',
  source: 'house rule',
  options: {},
  afterOthers: true,
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 23n 630V film\n\n{accept value-uncommon C14}\n',
    names: 'C14',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 23n 630V film\n\n{accept value-uncommon C14: picked from a bag to match the other one}\n',
  },
  check({ sheet, others }) {
    const reports: Report[] = [];
    for (const acceptance of sheet.acceptances) {
      const { rule, subjects, reason, span } = acceptance;
      if (reason !== undefined && reason.trim() !== '') continue;
      // One that accepts nothing is spoken of for that.
      if (!others.found.some((each) => isAcceptedBy(acceptance, each.rule, each.subject))) continue;
      const whom = subjects.length === 0 ? 'the whole sheet' : subjects.join(', ');
      reports.push({
        severity: 'warning',
        subject: subjects[0] ?? rule,
        message: `${rule} is accepted for ${whom} without a reason. Write it behind a colon: {accept ${[rule, ...subjects].join(' ')}: why}.`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
});
