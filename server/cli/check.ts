/** Owns the verb `check`: the findings of each sheet, and whether any is bad enough to fail. */
import { SEVERITIES } from '../rules/rule.ts';
import { findingJson } from './json.ts';
import { jsonItem, printJsonList } from './json-list.ts';
import { markdownSection, reviewComment } from './markdown.ts';
import { sarifLog, sarifResults } from './sarif.ts';
import { addCounts, type Count, countFindings, findingsText, noCount, sayCount } from './text.ts';
import { tidied, writeTidied } from './tidy.ts';
import type { Analysed, Call, Desk, Format, SheetVerb } from './verb.ts';

/** What one sheet gives to the report. */
interface Part {
  readonly count: Count;
  /** Of text and Markdown. */
  readonly text: string;
  /** Of JSON, printed; of SARIF, as objects. */
  readonly items: readonly string[];
  readonly results: readonly Record<string, unknown>[];
}

export const checkVerb: SheetVerb<Part> = {
  name: 'check',
  formats: ['text', 'json', 'sarif', 'md'],
  options: ['fail-on', 'fix'],
  does: 'findings: what is under-rated, over-stressed, contradictory or missing',
  part: (analysed) => ({
    count: countFindings(analysed.analysis.findings),
    text: '',
    items: [],
    results: [],
    ...partIn(analysed.call.format, analysed),
  }),
  run: async (desk, parts) => {
    if (desk.call.fix) await fixAll(desk);
    const report = reportIn(desk.call.format, desk);
    let count = noCount;
    for await (const part of parts()) {
      count = addCounts(count, part.count);
      report.add(part);
    }
    report.end(count);
    return isFailing(count, desk.call) ? 1 : 0;
  },
};

/** What may be mended without asking is the spelling of tags: no rule offers more than a suggestion. */
async function fixAll({ analyses, shop }: Desk): Promise<void> {
  for await (const analysed of analyses()) {
    const sheet = tidied(analysed);
    if (sheet === undefined) continue;
    await writeTidied(sheet);
    shop.store.forget(sheet.uri);
  }
}

function isFailing({ standing }: Count, { failOn }: Call): boolean {
  const threshold = failOn === 'never' ? -1 : SEVERITIES.indexOf(failOn);
  return SEVERITIES.some((severity, i) => i <= threshold && standing[severity] > 0);
}

function partIn(format: Format, { analysis, places, setting }: Analysed): Partial<Part> {
  const { findings } = analysis;
  switch (format) {
    case 'json':
      return { items: findings.map((finding) => jsonItem(findingJson(finding, places))) };
    case 'sarif':
      return { results: sarifResults(analysis, places) };
    case 'md':
      return { text: findings.length === 0 ? '' : markdownSection(findings, places) };
    default:
      return { text: findingsText(findings, places, setting.terminal) };
  }
}

interface Report {
  readonly add: (part: Part) => void;
  readonly end: (count: Count) => void;
}

function reportIn(format: Format, { print, setting }: Desk): Report {
  switch (format) {
    case 'json': {
      const list = printJsonList('findings', print);
      return { add: ({ items }) => list.add(items), end: list.end };
    }
    case 'sarif': {
      const results: Record<string, unknown>[] = [];
      return {
        add: (part) => {
          results.push(...part.results);
        },
        end: () => print(`${JSON.stringify(sarifLog(results, setting.version), null, 2)}\n`),
      };
    }
    case 'md': {
      // A comment says first how much there is, so it waits for the last sheet.
      const sections: string[] = [];
      return {
        add: ({ text }) => {
          if (text !== '') sections.push(text);
        },
        end: (count) => print(reviewComment(sayCount(count), sections)),
      };
    }
    default:
      return { add: ({ text }) => print(text), end: (count) => print(`${sayCount(count)}\n`) };
  }
}
