/** Owns the quick fixes at a place: each finding there asks its rule, on the current text, what would mend it. */
import { findRule } from '../rules/registry.ts';
import type { Finding, Fix } from '../rules/rule.ts';
import { contextFor } from '../rules/run.ts';
import type { Analysis } from '../shop/shop.ts';
import { areDisjoint } from '../text/edits.ts';
import type { Span } from '../text/span.ts';

export interface OfferedFix extends Fix {
  readonly finding: Finding;
}

/** Fixes of all findings that touch `at`. */
export function fixes({ findings, input }: Analysis, at: Span): readonly OfferedFix[] {
  return findings
    .filter(({ source: { span } }) => span.start <= at.end && at.start <= span.end)
    .flatMap((finding) => {
      const rule = findRule(finding.rule);
      if (rule?.fix === undefined) return [];
      return rule
        .fix(contextFor(input, rule), finding)
        .filter((fix) => areDisjoint(fix.edits))
        .map((fix) => ({ ...fix, finding }));
    });
}
