/** Owns the rule sheet-missing: a sheet that this one names and that could not be read. */
import { defineRule, type Report } from './rule.ts';

export const sheetMissing = defineRule({
  id: 'sheet-missing',
  since: '0.1.0',
  category: 'writing',
  severities: 'W',
  summary: 'A sheet named in the front matter cannot be found.',
  why: 'A job takes its parts and connections from its chassis sheet. Without it, most figures and most warnings are missing, silently.',
  howToFix: 'Correct the path. It is relative to this sheet, with forward slashes.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet: '---\njob: 12\nchassis: ../chassis/nowhere.tagstrip.md\n---\n# Job\n',
    names: '../chassis/nowhere.tagstrip.md',
  },
  good: { sheet: '---\njob: 12\n---\n# Job\n' },
  check({ missing, sheet }) {
    const reports: Report[] = [];
    for (const { field, path, span, because, advice = PATH } of missing) {
      reports.push({
        severity: 'warning',
        subject: path,
        message: `${field}: ${path} ${because}. ${advice}`,
        source: { file: sheet.uri, span },
      });
    }
    return reports;
  },
});

const PATH = 'The path is relative to this sheet. Until it is found, nothing of that sheet is known here.';
