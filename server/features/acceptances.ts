/** Owns the offer to accept a finding: the paragraph that would accept it, at the end of its part of the sheet, with the reason left to be filled in. */
import { readAccept } from '../dialect/keyword.ts';
import { findRule } from '../rules/registry.ts';
import type { Finding } from '../rules/rule.ts';
import { nameOf } from '../sheet/names.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Edit } from '../text/edits.ts';
import { lineAt, lineEndingNear, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { OfferedFix } from './fixes.ts';

/**
 * One offer for each finding that touches `at`, but for those about the writing, which are mended, and about acceptances.
 * The reason is left empty on purpose: until it is written, acceptance-without-reason asks for it.
 */
export function acceptances(analysis: Analysis, at: Span): readonly OfferedFix[] {
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
          edits: [paragraphAfter(analysis, finding.source.span, `{${words}: }`)],
          finding,
        },
      ];
    });
}

/** `accept mismatched-pair V4 V5`; for a subject that no tag can name, the whole sheet if nothing else would be accepted with it. */
function wordsFor({ findings }: Analysis, { rule, subject }: Finding): string | undefined {
  const subjects = subject.split(',');
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

/** A paragraph of its own behind the last line of the section that `at` stands in. */
function paragraphAfter({ sheet }: Analysis, at: Span, paragraph: string): Edit {
  const { snapshot, sections, note } = sheet;
  const { text } = snapshot;
  const [first] = sections;
  const section =
    sections.findLast(({ headingSpan }) => headingSpan.start <= at.start) ??
    // Of the front matter's findings, behind the title.
    (at.start < (sheet.frontMatter?.span.end ?? 0) ? first : undefined);
  const from = section?.headingSpan.end ?? sheet.frontMatter?.span.end ?? 0;
  const next = section?.bodySpan.end ?? first?.headingSpan.start ?? text.length;
  const blocks = note.blocks.filter(({ span }) => span.start >= from && span.start < next);
  // Code and HTML may run to the end of the sheet, and take in what stands behind them.
  const isClosed = blocks.at(-1)?.kind !== 'opaque';
  const end = isClosed
    ? endOfText(text, from, startOfLine(snapshot, next))
    : (blocks.findLast(({ kind }) => kind !== 'opaque')?.span.end ?? from);
  const eol = lineEndingNear(snapshot, end);
  const isAtStart = text.slice(0, end).trim() === '';
  const isLast = text.slice(end).trim() === '';
  // A line that follows at once would become part of the paragraph.
  const isFollowed = /^[^\S\r\n]*(?:\r\n|\r|\n)?[^\S\r\n]*\S/.test(text.slice(end));
  return {
    span: { start: end, end },
    text: `${isAtStart ? '' : eol + eol}${paragraph}${isFollowed || (isLast && end === text.length) ? eol : ''}`,
  };
}

function startOfLine(snapshot: Snapshot, offset: number): number {
  if (offset >= snapshot.text.length) return snapshot.text.length;
  return lineSpan(snapshot, lineAt(snapshot, offset)).start;
}

/** Behind the last character before `to` that is no white space, but not before `from`. */
function endOfText(text: string, from: number, to: number): number {
  return from + text.slice(from, Math.max(from, to)).trimEnd().length;
}
