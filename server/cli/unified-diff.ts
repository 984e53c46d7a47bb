/**
 * Owns the unified diff of a file whose edits are known, as `git apply` and `patch` read it. The edits say which lines
 * differ, so nothing is searched for.
 */
import { applyEdits, type Edit } from '../text/edits.ts';
import { countBefore } from '../text/halving.ts';

/** Unchanged lines shown before and behind each change. */
const CONTEXT = 3;

const NO_NEWLINE = '\\ No newline at end of file';

/** Lines of the old text from `start` up to `end` that became `added`; line ends are part of the lines. */
interface Change {
  readonly start: number;
  readonly end: number;
  readonly added: readonly string[];
}

/** The diff, or an empty text where the edits change nothing. `path` stands in both heads, with forward slashes. */
export function unifiedDiff(path: string, old: string, edits: readonly Edit[]): string {
  const lines = linesOf(old);
  const changes = changesOf(old, lines, edits);
  if (changes.length === 0) return '';
  // A path with a space in it ends in a tab, or what reads it would take the rest for a date.
  const name = /\s/.test(path) ? `${path}\t` : path;
  const out = [`--- a/${name}`, `+++ b/${name}`];
  let shift = 0;
  for (const group of grouped(changes)) {
    const first = Math.max(0, (group[0]?.start ?? 0) - CONTEXT);
    const last = Math.min(lines.length, (group[group.length - 1]?.end ?? 0) + CONTEXT);
    const grown = group.reduce((sum, { start, end, added }) => sum + added.length - (end - start), 0);
    out.push(`@@ -${range(first, last - first)} +${range(first + shift, last - first + grown)} @@`);
    let at = first;
    for (const { start, end, added } of group) {
      for (const line of lines.slice(at, start)) put(out, ' ', line);
      for (const line of lines.slice(start, end)) put(out, '-', line);
      for (const line of added) put(out, '+', line);
      at = end;
    }
    for (const line of lines.slice(at, last)) put(out, ' ', line);
    shift += grown;
  }
  return `${out.join('\n')}\n`;
}

/** A diff's lines end at a line feed alone; a carriage return before it belongs to the line. */
function linesOf(text: string): readonly string[] {
  return text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
}

function put(out: string[], sign: string, line: string): void {
  if (line.endsWith('\n')) out.push(sign + line.slice(0, -1));
  else out.push(sign + line, NO_NEWLINE);
}

/** Lines count from one; an empty stretch stands behind the line that it names. */
function range(start: number, length: number): string {
  return `${length === 0 ? start : start + 1},${length}`;
}

/** What each run of touched lines became, without the lines at its ends that stayed. */
function changesOf(old: string, lines: readonly string[], edits: readonly Edit[]): readonly Change[] {
  const starts = startsOf(lines);
  const runs: { first: number; last: number; edits: Edit[] }[] = [];
  for (const edit of [...edits].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end)) {
    const first = lineOf(starts, edit.span.start);
    const last = lineOf(starts, edit.span.end);
    const run = runs[runs.length - 1];
    if (run !== undefined && first <= run.last) {
      run.last = Math.max(run.last, last);
      run.edits.push(edit);
    } else runs.push({ first, last, edits: [edit] });
  }
  return runs.flatMap(({ first, last, edits: own }): Change[] => {
    const from = starts[first] ?? 0;
    const to = starts[last + 1] ?? old.length;
    const moved = own.map(({ span, text }) => ({
      span: { start: span.start - from, end: span.end - from },
      text,
    }));
    const before = lines.slice(first, last + 1);
    const after = linesOf(applyEdits(old.slice(from, to), moved));
    let head = 0;
    while (head < Math.min(before.length, after.length) && before[head] === after[head]) head++;
    let tail = 0;
    while (
      tail < Math.min(before.length, after.length) - head &&
      before[before.length - 1 - tail] === after[after.length - 1 - tail]
    )
      tail++;
    const change = {
      start: first + head,
      end: first + before.length - tail,
      added: after.slice(head, after.length - tail),
    };
    return change.start === change.end && change.added.length === 0 ? [] : [change];
  });
}

function startsOf(lines: readonly string[]): readonly number[] {
  const starts: number[] = [];
  let at = 0;
  for (const line of lines) {
    starts.push(at);
    at += line.length;
  }
  return starts;
}

/** The line that holds an offset; the end of the text belongs to its last line. */
function lineOf(starts: readonly number[], offset: number): number {
  return Math.max(0, countBefore(starts, (start) => start <= offset) - 1);
}

/** Changes that are shown in one hunk, because the unchanged lines between them would be shown anyway. */
function grouped(changes: readonly Change[]): readonly (readonly Change[])[] {
  const groups: Change[][] = [];
  for (const change of changes) {
    const group = groups[groups.length - 1];
    const before = group?.[group.length - 1];
    if (group !== undefined && before !== undefined && change.start - before.end <= 2 * CONTEXT)
      group.push(change);
    else groups.push([change]);
  }
  return groups;
}
