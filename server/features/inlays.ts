/** Owns the values shown at the ends of lines: one a line, the most telling, and none on the line being typed. */

import type { Figure, PhaseView } from '../bench/model.ts';
import { joinValues } from '../bench/saying.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';
import { mentionsOn } from './lines.ts';
import { findVerdict, setsOf, subjectsOf, type Verdict } from './verdict.ts';

export interface Inlay {
  /** At the end of the line. */
  readonly offset: number;
  readonly line: number;
  /** `V5 11.2 W, 93 %`. */
  readonly text: string;
}

/** Inlay values of the lines `from` to `to` (inclusive) but for the line being typed. */
export function inlays(analysis: Analysis, from: number, to: number, typing?: number): readonly Inlay[] {
  const { snapshot } = analysis.sheet;
  const values = getValues(analysis);
  const shown: Inlay[] = [];
  const last = Math.min(to, snapshot.lineStarts.length - 1);
  for (let line = Math.max(0, from); line <= last; line++) {
    const text = values.get(line);
    if (text !== undefined && line !== typing)
      shown.push({ line, offset: lineSpan(snapshot, line).end, text });
  }
  return shown;
}

interface Candidate {
  readonly subject: string;
  readonly view: PhaseView;
  readonly verdict: Verdict;
}

/** Every line's value; they are asked for screen by screen, and made once. */
const valuesOf = new WeakMap<Analysis, ReadonlyMap<number, string>>();

function getValues(analysis: Analysis): ReadonlyMap<number, string> {
  const known = valuesOf.get(analysis);
  if (known !== undefined) return known;
  const lines = new Map<number, Candidate[]>();
  for (const view of analysis.amplifier.phases) {
    for (const candidate of candidatesOf(view)) {
      const line = lineFor(analysis, candidate);
      if (line === undefined) continue;
      const there = lines.get(line);
      if (there === undefined) lines.set(line, [candidate]);
      else there.push(candidate);
    }
  }
  const values = new Map([...lines].map(([line, all]) => [line, wordLine(analysis, line, all)]));
  valuesOf.set(analysis, values);
  return values;
}

/** One verdict for each subject in each of the view's sets. */
function* candidatesOf(view: PhaseView): Iterable<Candidate> {
  for (const subject of subjectsOf(view)) {
    for (const set of setsOf(view, subject)) {
      const verdict = findVerdict(view, subject, set);
      if (verdict === undefined || verdict.figure.set !== set) continue;
      // A ripple that was read is on the line already.
      if (verdict.figure.figure === 'ripple' && verdict.figure.basis === 'read') continue;
      if (isIdle(verdict)) continue;
      yield { subject, view, verdict };
    }
  }
}

/** A resistor that warms by less than a hundredth of its rating has nothing to tell at a glance; its hover still does. */
function isIdle({ figure, used = 0 }: Verdict): boolean {
  return figure.figure === 'dissipation' && used > 0 && used < 0.01;
}

/** What needs no reading stands beside the part; what was read, beside the reading that completed it. */
function lineFor({ sheet }: Analysis, { subject, view, verdict: { figure } }: Candidate): number | undefined {
  const part = figure.set === 0 && figure.figure !== 'answer' ? view.parts.get(subject) : undefined;
  const source = part === undefined ? figure.source : part.source;
  return source.file === sheet.uri ? lineAt(sheet.snapshot, source.span.start) : undefined;
}

function wordLine(analysis: Analysis, line: number, candidates: readonly Candidate[]): string {
  const named = new Set(
    mentionsOn(analysis.sheet, line).flatMap(({ name, ref }) => (ref === undefined ? [name] : [ref])),
  );
  const rank = ({ subject, verdict }: Candidate) => weightOf(verdict) + (named.has(subject) ? 2 : 0);
  const [first, ...rest] = candidates;
  if (first === undefined) return '';
  const best = rest.reduce((top, each) => (rank(each) > rank(top) ? each : top), first);
  const same = candidates.filter(
    ({ subject, verdict }) =>
      subject === best.subject && verdict.figure.figure === best.verdict.figure.figure,
  );
  const now = same.at(-1) ?? best;
  const subject = now.verdict.figure.figure === 'answer' ? '=' : now.subject;
  const was = same.length > 1 ? same[0]?.verdict.value : valueBefore(analysis, now);
  const { value, short } = now.verdict;
  // The volts are on the line already: their share of the rating is what follows from them.
  if (now.verdict.used !== undefined && isReadOn(analysis, line, now.verdict.figure))
    return `${subject} ${short.replace(`${value}, `, '')}`;
  const moved = was === undefined || was === value ? value : joinValues(was, ' → ', value);
  return `${subject} ${short.replace(value, moved)}`;
}

/** Whether a figure only says again what was read on the line. */
function isReadOn({ sheet }: Analysis, line: number, { quantity, inputs }: Figure): boolean {
  return inputs.some(
    ({ known }) =>
      known.basis === 'read' &&
      known.quantity.unit === quantity.unit &&
      known.quantity.value === quantity.value &&
      known.source?.file === sheet.uri &&
      lineAt(sheet.snapshot, known.source.span.start) === line,
  );
}

/** A fault weighs most, then the share of a limit that is used, then what has no limit. */
function weightOf({ figure, used }: Verdict): number {
  if (figure.figure === 'answer') return 9;
  if (figure.figure === 'insulation' || figure.figure === 'effective-capacitance') return 5;
  return used === undefined ? 0 : 0.1 + Math.min(used, 1.9);
}

/** What a change moved without any reading: the value as found, or as the chassis sheet has it. */
function valueBefore({ amplifier }: Analysis, { subject, view, verdict }: Candidate): string | undefined {
  if (verdict.figure.set !== 0 || view.phase === 'as-found' || view.phase === 'factory') return undefined;
  const before = amplifier.phases.find(({ phase }) => phase === 'as-found' || phase === 'factory');
  const was = before === undefined ? undefined : findVerdict(before, subject, 0);
  return was?.figure.figure === verdict.figure.figure ? was.value : undefined;
}
