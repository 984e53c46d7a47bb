/** Owns the values shown at the ends of lines: one a line, the most telling, and none on the line being typed. */
import type { Figure, PhaseView } from '../bench/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import { findVerdict, show, type Verdict } from './verdict.ts';

export interface Inlay {
  /** At the end of the line. */
  readonly offset: number;
  readonly line: number;
  /** `V5 11.2 W, 93 %`. */
  readonly text: string;
}

/** Inlay values of the lines `from` to `to` (inclusive) but for the line being typed. */
export function inlays(analysis: Analysis, from: number, to: number, typing?: number): readonly Inlay[] {
  const { sheet, amplifier } = analysis;
  const byLine = new Map<number, string[]>();
  const add = (figure: Figure, text: string) => {
    const line = lineAt(sheet.snapshot, figure.source.span.start);
    if (figure.source.file !== sheet.uri || line < from || line > to || line === typing) return;
    const there = byLine.get(line);
    if (there === undefined) byLine.set(line, [text]);
    // A chart row of several valves has a verdict for each; more than two would push the eye off the line.
    else if (there.length < 2 && !there.includes(text)) there.push(text);
  };
  for (const view of amplifier.phases) {
    for (const [subject, verdict] of verdictsOf(view)) {
      add(verdict.figure, `${subject} ${changeOf(analysis, view, subject, verdict)}`);
    }
  }
  return [...byLine]
    .sort(([a], [b]) => a - b)
    .map(([line, texts]) => ({ line, offset: lineSpan(sheet.snapshot, line).end, text: texts.join(' · ') }));
}

/** One verdict for each subject in each of the view's sets. */
function* verdictsOf(view: PhaseView): Iterable<readonly [string, Verdict]> {
  const seen = new Set<string>();
  for (const { subject, set } of view.figures) {
    const key = `${subject} ${set}`;
    if (seen.has(key)) continue;
    seen.add(key);
    const verdict = findVerdict(view, subject, set);
    if (verdict !== undefined && (verdict.figure.set === set || set === 0)) yield [subject, verdict];
  }
}

/** `6.9 → 12 Hz` for what a change moved without any reading; else the verdict itself. */
function changeOf({ amplifier }: Analysis, view: PhaseView, subject: string, verdict: Verdict): string {
  const { figure } = verdict;
  if (figure.set !== 0 || view.phase === 'as-found') return verdict.short;
  const before = amplifier.phases.find(({ phase }) => phase === 'as-found' || phase === 'factory');
  const was = before?.figures.find(
    (each) => each.subject === subject && each.figure === figure.figure && each.set === 0,
  );
  if (was === undefined || was.quantity.value === figure.quantity.value) return verdict.short;
  return `${show(was.quantity)} → ${verdict.short}`;
}
