/** Owns the findings as a comment for a review: Markdown by sheet, the worst first, with nothing of the notes' text left to act as markup. */

import { type Finding, SEVERITIES } from '../rules/rule.ts';
import { escapeMarkdown } from '../summary/escape-markdown.ts';
import { groupBy } from '../text/grouping.ts';
import { type Places, rangeIn } from './json.ts';

const CAUTION =
  '_Results are only as good as the readings: no warning never means that an amplifier may be touched._';

/** The whole comment: how much there is, then the sections of the sheets that have anything. */
export function reviewComment(count: string, sections: readonly string[]): string {
  return [`## Tagstrip\n\n${count}\n`, ...sections, `${CAUTION}\n`].join('\n');
}

/** The findings of one sheet. Severities stand as words, since a mark alone says nothing to a reader of plain text. */
export function markdownSection(findings: readonly Finding[], places: Places): string {
  const lines: string[] = [];
  for (const [file, own] of groupBy(findings, (finding) => places.path(finding.file))) {
    const standing = own.filter(({ accepted }) => accepted === undefined);
    const accepted = own.filter(({ accepted: reason }) => reason !== undefined);
    lines.push(`### ${escapeMarkdown(file)}`, '');
    lines.push(...worstFirst(standing).flatMap((finding) => item(finding, places)));
    if (accepted.length > 0) {
      lines.push(...(standing.length > 0 ? [''] : []), 'Accepted, with the reason written on the sheet:', '');
      lines.push(...worstFirst(accepted).flatMap((finding) => item(finding, places)));
    }
    lines.push('');
  }
  return lines.join('\n');
}

function worstFirst(findings: readonly Finding[]): readonly Finding[] {
  return [...findings].sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
}

function item(finding: Finding, places: Places): readonly string[] {
  const { severity, subject, message, rule, accepted, source, related = [] } = finding;
  const line = rangeIn(places, source).start.line + 1;
  const reason = accepted === undefined ? '' : ` Accepted: ${escapeMarkdown(accepted)}.`;
  return [
    `- **${severity}** line ${line}, **${escapeMarkdown(subject)}**: ${escapeMarkdown(message)}${reason} (\`${rule}\`)`,
    ...related.map((each) => `  - ${escapeMarkdown(each.subject)}: ${escapeMarkdown(each.message)}`),
  ];
}
