/** Owns the rule house-setting-unread: a setting of the shop sheet that cannot be read and so does not count. */
import { defineRule, type Report } from './rule.ts';

export const houseSettingUnread = defineRule({
  id: 'house-setting-unread',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A setting of the shop sheet cannot be read.',
  why: 'The shop sheet governs every sheet below its folder. A threshold that was mistyped would silently leave the default in force, and everybody would believe otherwise.',
  howToFix:
    'The message says what is wanted there. Until it is mended the default holds; the other settings count.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet: '---\nsheet: shop\nrules:\n  over-voltage:\n    warning: nearly\n---\n# The shop\n',
    names: 'nearly',
  },
  good: { sheet: '---\nsheet: shop\nrules:\n  over-voltage:\n    warning: 0.92\n---\n# The shop\n' },
  check({ houseProblems, sheet }) {
    const reports: Report[] = [];
    for (const { span, message } of houseProblems) {
      reports.push({
        severity: 'warning',
        subject: sheet.snapshot.text.slice(span.start, span.end).split(/\r\n|\r|\n/)[0] ?? '',
        message: `${message} Until it is mended the default holds.`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
});
