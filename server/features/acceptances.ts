/** Owns the offer to accept a finding: the paragraph that would accept it, at the end of its part of the sheet, with the reason left to be filled in. */
import { readAccept } from '../dialect/keyword.ts';
import { paragraphAtEnd } from '../rules/new-lines.ts';
import { findRule } from '../rules/registry.ts';
import type { Finding } from '../rules/rule.ts';
import type { Section, Sheet } from '../sheet/model.ts';
import { nameOf } from '../sheet/names.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import type { OfferedFix } from './fixes.ts';

/**
 * One offer for each finding that touches `at`, but for those about the writing, which are mended, and about acceptances.
 * The reason is left empty on purpose: until it is written, acceptance-without-reason asks for it.
 */
export function acceptances(analysis: Analysis, at: Span): readonly OfferedFix[] {
  const { sheet } = analysis;
  return analysis.findings
    .filter(({ source: { span } }) => span.start <= at.end && at.start <= span.end)
    .filter(({ accepted }) => accepted === undefined)
    .flatMap((finding): OfferedFix[] => {
      const rule = findRule(finding.rule);
      if (rule === undefined || rule.category === 'writing' || rule.afterOthers === true) return [];
      const words = wordsFor(analysis, finding);
      if (words === undefined) return [];
      return [
        {
          title: 'Accept it, with a reason to fill in',
          safety: 'suggestion',
          edits: [paragraphAtEnd(sheet, sectionOf(sheet, finding.source.span.start), `{${words}: }`)],
          finding,
        },
      ];
    });
}

/** `accept mismatched-pair V4 V5`; for a subject that no tag can name, the whole sheet if nothing else would be accepted with it. */
function wordsFor({ findings }: Analysis, { rule, subject }: Finding): string | undefined {
  // A half that has no letter is accepted by its envelope: `V1` of `V1 pins 6 7 8`.
  const subjects = subject.split(',').map((each) => each.replace(/ pins .*$/, ''));
  const named = `accept ${[rule, ...subjects].join(' ')}`;
  const read = readAccept(named, 0);
  const isNamed =
    read.kind === 'statement' &&
    read.body.kind === 'accept' &&
    read.end === named.length &&
    read.body.subjects.map(nameOf).join() === subjects.join();
  if (isNamed) return named;
  return findings.filter((each) => each.rule === rule).length === 1 ? `accept ${rule}` : undefined;
}

/** The section that a finding stands in; one of the front matter belongs to the first. */
function sectionOf({ sections, frontMatter }: Sheet, at: number): Section | undefined {
  const section = sections.findLast(({ headingSpan }) => headingSpan.start <= at);
  return section ?? (at < (frontMatter?.span.end ?? 0) ? sections[0] : undefined);
}
