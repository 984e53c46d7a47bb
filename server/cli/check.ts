/** Owns the verb `check`: the findings of each sheet, and whether any is bad enough to fail. */
import { type Finding, SEVERITIES } from '../rules/rule.ts';
import { findingJson } from './json.ts';
import { printJsonList } from './json-list.ts';
import { markdownSection, reviewComment } from './markdown.ts';
import { sarifLog, sarifResults } from './sarif.ts';
import { createCount, findingsText } from './text.ts';
import type { Analysed, Call, Desk, Verb } from './verb.ts';

export const checkVerb: Verb = {
  name: 'check',
  formats: ['text', 'json', 'sarif', 'md'],
  options: ['fail-on'],
  does: 'findings: what is under-rated, over-stressed, contradictory or missing',
  run: async (desk) => {
    const report = REPORTS[desk.call.format as keyof typeof REPORTS](desk);
    let isFailing = false;
    for await (const analysed of desk.analyses()) {
      report.add(analysed);
      isFailing ||= analysed.analysis.findings.some((finding) => isBadEnough(finding, desk.call));
    }
    report.end();
    return isFailing ? 1 : 0;
  },
};

function isBadEnough({ accepted, severity }: Finding, { failOn }: Call): boolean {
  const threshold = failOn === 'never' ? -1 : SEVERITIES.indexOf(failOn);
  return accepted === undefined && SEVERITIES.indexOf(severity) <= threshold;
}

interface Report {
  readonly add: (analysed: Analysed) => void;
  readonly end: () => void;
}

const REPORTS = {
  text: ({ print, streams }: Desk): Report => {
    const count = createCount();
    return {
      add: ({ analysis: { findings }, places }) => {
        count.add(findings);
        print(findingsText(findings, places, streams.terminal));
      },
      end: () => print(`${count.say()}\n`),
    };
  },
  json: ({ print }: Desk): Report => {
    const list = printJsonList('findings', print);
    return {
      add: ({ analysis: { findings }, places }) => {
        for (const finding of findings) list.add(findingJson(finding, places));
      },
      end: list.end,
    };
  },
  sarif: ({ print, streams }: Desk): Report => {
    const results: Record<string, unknown>[] = [];
    return {
      add: ({ analysis, places }) => {
        results.push(...sarifResults(analysis, places));
      },
      end: () => print(`${JSON.stringify(sarifLog(results, streams.version), null, 2)}\n`),
    };
  },
  /** A comment says first how much there is, so it waits for the last sheet. */
  md: ({ print }: Desk): Report => {
    const count = createCount();
    const sections: string[] = [];
    return {
      add: ({ analysis: { findings }, places }) => {
        count.add(findings);
        if (findings.length > 0) sections.push(markdownSection(findings, places));
      },
      end: () => print(reviewComment(count.say(), sections)),
    };
  },
} as const;
