/** Owns the quick fixes at a place: each finding there asks its rule, on the current text, what would mend it; and the connections that are offered there. */
import { findRule } from '../rules/registry.ts';
import type { Finding, Fix } from '../rules/rule.ts';
import { contextFor } from '../rules/run.ts';
import type { Analysis } from '../shop/shop.ts';
import { areDisjoint } from '../text/edits.ts';
import { lineAt } from '../text/snapshot.ts';
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

/** Connections that would complete a figure, for parts on the lines of `at`: the likeliest one each, never made by itself. */
export function connections({ amplifier, sheet }: Analysis, at: Span): readonly Fix[] {
  const { snapshot } = sheet;
  const [first, last] = [lineAt(snapshot, at.start), lineAt(snapshot, at.end)];
  const seen = new Set<string>();
  return amplifier.phases.flatMap(({ offers }) =>
    offers.flatMap(({ ref, text, at: { file, span }, completes }): Fix[] => {
      const line = lineAt(snapshot, span.start);
      const key = `${span.start} ${text}`;
      if (file !== sheet.uri || line < first || line > last || seen.has(key)) return [];
      seen.add(key);
      const said = text.replace(/^[\s,]+/, '');
      return [
        {
          title: `Write “${said}” behind ${ref}, for its ${completes.replaceAll('-', ' ')}`,
          safety: 'suggestion',
          edits: [{ span, text }],
        },
      ];
    }),
  );
}
