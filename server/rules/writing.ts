/** Owns how a problem of writing, noticed while reading, becomes a finding; the rules of the writing category differ only in which problem they speak of. */
import type { WritingProblem } from '../dialect/tree.ts';
import type { Finding, Fix, Report, RuleContext, Severity } from './rule.ts';

/** One report for each problem of a kind, at its own place. */
export function reportProblems(
  context: RuleContext,
  kind: WritingProblem['kind'],
  severity: Severity,
  stands: (problem: WritingProblem) => boolean = () => true,
): readonly Report[] {
  const { sheet } = context;
  const reports: Report[] = [];
  for (const problem of sheet.problems) {
    if (problem.kind !== kind || !stands(problem)) continue;
    reports.push({
      severity,
      subject: sheet.snapshot.text
        .slice(problem.span.start, problem.span.end)
        .replace(/\s+/g, ' ')
        .slice(0, 60),
      message: problem.message,
      source: { file: sheet.uri, span: problem.span },
    });
  }
  return reports;
}

/** The replacements that the reader offered for this very place. */
export function offeredFixes(
  context: RuleContext,
  finding: Finding,
  kind: WritingProblem['kind'],
): readonly Fix[] {
  const { start, end } = finding.source.span;
  const problem = context.sheet.problems.find(
    (each) => each.kind === kind && each.span.start === start && each.span.end === end,
  );
  return (problem?.offers ?? []).map(({ saying, edit }) => ({
    title: `Write ${edit.text} (${saying})`,
    safety: 'suggestion',
    edits: [edit],
  }));
}
