/**
 * Owns the offer to write what is still open of a mod into the job sheet: each change as an unticked task under Work, by the
 * job's own refs, with what is there now, so that there is a way back. Nothing else is touched, and nothing is written twice.
 */
import type { FittedPart } from '../bench/model.ts';
import type { Fix } from '../rules/rule.ts';
import type { Section, Sheet } from '../sheet/model.ts';
import type { ChangeVerdict } from '../shop/mod-verdict.ts';
import type { ModJudged } from '../shop/mods.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { lineAt, lineEndingNear, lineSpan } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { touches } from '../text/span.ts';
import { writeQuantity } from '../units/write.ts';
import { findModLine, isOneName, judgeHere, namedMods } from './mods.ts';

/** What the offer at a place wants: mods by these names, or all of the family under the heading of the work. */
export function modsWanted(analysis: Analysis, at: Span): 'all' | readonly string[] {
  if (analysis.sheet.kind !== 'job') return [];
  const line = findModLine(analysis, at.start);
  if (line?.kind === 'verdict') return [line.statement.mod];
  const isHeading = analysis.sheet.sections.some(
    ({ topic, headingSpan }) => topic === 'work' && touches(headingSpan, at.start),
  );
  return isHeading ? 'all' : [];
}

/** `mods`: all of the family, so that what one needs of another is known. */
export function writeMods(analysis: Analysis, at: Span, mods: readonly Analysis[]): readonly Fix[] {
  const wanted = modsWanted(analysis, at);
  if (wanted.length === 0) return [];
  const asked = wanted === 'all' ? mods : namedMods(mods, wanted);
  const judged = judgeHere(mods, analysis);
  return judged
    .filter(
      ({ facts, sheet }) =>
        asked.some((each) => each.sheet === sheet) ||
        (wanted !== 'all' && wanted.some((name) => isOneName(name, facts.name))),
    )
    .flatMap((mod) => fixFor(mod, analysis) ?? []);
}

function fixFor(mod: ModJudged, analysis: Analysis): Fix | undefined {
  const tasks = mod.open.flatMap((each) => (each.planned === undefined ? (taskFor(each, mod) ?? []) : []));
  if (tasks.length === 0) return undefined;
  const { name } = mod.facts;
  const missing = mod.needs.filter(({ state }) => state !== 'met').map((need) => need.name);
  const needs = missing.length === 0 ? '' : `; it needs ${missing.join(' and ')} first`;
  const count = tasks.length === 1 ? '1 task' : `${tasks.length} tasks`;
  return {
    title: `Write the changes of mod ${name} that still apply (${count}${needs})`,
    safety: 'suggestion',
    edits: [insertion(analysis.sheet, tasks)],
  };
}

// ---------------------------------------------------------------------------------------------------------------
// A task

/** `C8 = 22uF 25V electrolytic -> 680n 63V film (mod tight-bass)`; undefined where it cannot be written as one line. */
function taskFor(
  { change, part, next, ref }: ChangeVerdict,
  { sheet, facts }: ModJudged,
): string | undefined {
  const was = part === undefined ? '' : ` = ${marksOf(part)}`;
  const from = was.trim() === '=' ? '' : was;
  const by = `(mod ${facts.name})`;
  if (change.kind === 'remove') return `${ref}${from} -> removed ${by}`;
  if (next === undefined) return undefined;
  const is = asWritten(change.is, sheet.snapshot) ?? marksOf(next);
  if (is === '') return undefined;
  if (part !== undefined) return `${ref}${from} -> ${is} ${by}`;
  const where = connectionOf(next);
  return where === undefined ? undefined : `${ref} = ${is}, ${where} ${by}`;
}

/** The mod's own words for the part, where they are one stretch of one line. */
function asWritten(part: FittedPart | undefined, { text }: Snapshot): string | undefined {
  const span = part?.specification?.span;
  const words = span === undefined ? '' : text.slice(span.start, span.end).trim();
  return words === '' || /[\r\n|{}]/.test(words) ? undefined : words;
}

/** A part's value, ratings and kind as a tag has them: `22uF 25V electrolytic`. */
function marksOf({ value, type, ratings, kinds, class: of, specification }: FittedPart): string {
  const rated = [ratings.voltage, ratings.power, ...(of === 'fuse' ? [] : [ratings.current])];
  const fuse = of === 'fuse' ? ratings.current : undefined;
  return [
    type?.text,
    ...(fuse === undefined
      ? []
      : [`${specification?.fuseSpeed?.text ?? ''}${writeQuantity(fuse.quantity, { style: 'tag' })}`]),
    ...[value, ...rated].flatMap((each) =>
      each === undefined ? [] : writeQuantity(each.quantity, { style: 'tag' }),
    ),
    ...kinds,
  ]
    .filter((word) => word !== undefined)
    .join(' ');
}

/** `B+1 to gnd`; of a pot its ends and its wiper. */
function connectionOf({ class: of, terminals }: FittedPart): string | undefined {
  const at = (terminal: string) => terminals.get(terminal);
  if (of === 'potentiometer') {
    const [top, foot, wiper] = [at('3'), at('1'), at('2')];
    if (top === undefined || foot === undefined) return undefined;
    return `${top} to ${foot}${wiper === undefined ? '' : `, wiper to ${wiper}`}`;
  }
  const [from, to] = of === 'diode' ? [at('a'), at('k')] : [at('1'), at('2')];
  return from === undefined || to === undefined || terminals.size !== 2 ? undefined : `${from} to ${to}`;
}

// ---------------------------------------------------------------------------------------------------------------
// Where they go

/** Behind the last line of the work; where there is no work yet, under a heading of its own before what was left. */
function insertion(sheet: Sheet, tasks: readonly string[]): { readonly span: Span; readonly text: string } {
  const { snapshot, sections } = sheet;
  const work = sections.findLast(({ topic }) => topic === 'work');
  const lines = (mark: string, end: string) => tasks.map((task) => `${mark} [ ] ${task}`).join(end);
  if (work === undefined) {
    const next = sections.find(
      ({ topic, phase }) => topic === 'as-left' || phase === 'as-left' || LATE.has(topic),
    );
    const at = lastText(snapshot, 0, next?.headingSpan.start ?? snapshot.text.length);
    const end = lineEndingNear(snapshot, at);
    return { span: { start: at, end: at }, text: `${end}${end}## Work${end}${end}${lines('-', end)}` };
  }
  const at = Math.max(lastText(snapshot, work.bodySpan.start, work.bodySpan.end), work.headingSpan.end);
  const end = lineEndingNear(snapshot, at);
  const mark = markOfLastItem(snapshot, work, at);
  const gap = mark === undefined ? `${end}${end}` : end;
  return { span: { start: at, end: at }, text: `${gap}${lines(mark ?? '-', end)}` };
}

/** Topics that come behind the work. */
const LATE: ReadonlySet<Section['topic']> = new Set(['owner', 'left-alone', 'declined', 'next-time']);

/** The end of the last line between two places that has anything on it. */
function lastText({ text }: Snapshot, start: number, end: number): number {
  return start + text.slice(start, end).trimEnd().length;
}

/** The bullet of the list that the work ends in; undefined where it ends in anything else. */
function markOfLastItem(snapshot: Snapshot, { bodySpan }: Section, at: number): string | undefined {
  for (let line = lineAt(snapshot, at); line >= lineAt(snapshot, bodySpan.start); line--) {
    const { start, end } = lineSpan(snapshot, line);
    const text = snapshot.text.slice(start, end);
    const mark = /^([-*+])[ \t]/.exec(text)?.[1];
    if (mark !== undefined) return mark;
    // What is indented belongs to the item above it.
    if (!/^[ \t]+\S/.test(text)) return undefined;
  }
  return undefined;
}
