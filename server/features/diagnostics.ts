/** Owns which findings an editor shows now: all but what a half-typed line would be blamed for. */
import { findRule } from '../rules/registry.ts';
import type { Finding } from '../rules/rule.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt } from '../text/snapshot.ts';

/**
 * The findings to show. A tag that is still being written gives none on the last-edited line until it can be read, another
 * line is edited, or the sheet is saved; accepted ones stand in the summary, not in the margin.
 */
export function diagnostics({ sheet, findings }: Analysis, typing?: number): readonly Finding[] {
  return findings.filter((finding) => {
    if (finding.accepted !== undefined) return false;
    const line = lineAt(sheet.snapshot, finding.source.span.start);
    return line !== typing || findRule(finding.rule)?.category !== 'writing';
  });
}
