/**
 * Owns what a merge that git left undecided looks like in a sheet, and how such a sheet is read all the same: as if only the
 * first of the two versions were there. What is left out is blanked at its place, so that every span stays right.
 */
import { lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { WritingProblem } from './tree.ts';

/** The text with one version alone, of the same length and with the same lines, and what is told of each place. */
export interface Undecided {
  readonly text: string;
  readonly problems: readonly WritingProblem[];
}

/** Marks stand at the margin, seven of them, alone or with a name behind a space. */
const MARK = /^([<>=|])\1{6}(?: (.*))?$/;
const FENCE = /^ {0,3}(`{3,}|~{3,})/;

interface Place {
  readonly first: number;
  last: number;
  /** The lines of the first version, from and to before. */
  readonly ours: number;
  oursEnd: number;
  theirs: number;
  readonly nameOfOurs: string;
  nameOfTheirs: string;
}

/** Undefined where no merge is undecided, which is found out by one look for the marks. */
export function findUndecided(snapshot: Snapshot): Undecided | undefined {
  const { text, lineStarts } = snapshot;
  if (!text.includes('<<<<<<<') && !text.includes('>>>>>>>')) return undefined;
  const lines = lineStarts.map((_, i) => {
    const { start, end } = lineSpan(snapshot, i);
    return text.slice(i === 0 && text.startsWith('\uFEFF') ? start + 1 : start, end);
  });
  const { places, strays } = findPlaces(lines);
  if (places.length === 0 && strays.length === 0) return undefined;
  const isLeftOut = (line: number) =>
    strays.includes(line) ||
    places.some(
      ({ first, last, ours, oursEnd }) => line >= first && line <= last && (line < ours || line >= oursEnd),
    );
  return {
    text: blanked(snapshot, lines, isLeftOut),
    problems: [
      ...places.map((place) => problemOf(place, snapshot)),
      ...strays.map((line) => strayProblem(line, snapshot)),
    ].sort((a, b) => a.span.start - b.span.start),
  };
}

function findPlaces(lines: readonly string[]): {
  readonly places: readonly Place[];
  readonly strays: readonly number[];
} {
  const places: Place[] = [];
  const strays: number[] = [];
  let open: Place | undefined;
  let fence: string | undefined;
  for (const [line, text] of lines.entries()) {
    const [, sign, name = ''] = MARK.exec(text) ?? [];
    // Within a fence that stands open outside, the marks are somebody's example.
    if (open === undefined && sign === undefined) {
      const mark = FENCE.exec(text)?.[1];
      if (fence === undefined) fence = mark;
      else if (mark?.startsWith(fence)) fence = undefined;
    }
    if (sign === undefined || fence !== undefined) continue;
    if (sign === '<') {
      if (open !== undefined) strays.push(open.first);
      open = {
        first: line,
        last: -1,
        ours: line + 1,
        oursEnd: -1,
        theirs: -1,
        nameOfOurs: name.trim(),
        nameOfTheirs: '',
      };
    } else if (sign === '>') {
      if (open === undefined || open.theirs < 0) strays.push(line);
      else {
        places.push({ ...open, last: line, nameOfTheirs: name.trim() });
        open = undefined;
      }
    } else if (open !== undefined) {
      // What both versions came from, where git was asked to show it, belongs to neither.
      if (open.oursEnd < 0) open.oursEnd = line;
      if (sign === '=' && open.theirs < 0) open.theirs = line + 1;
    }
  }
  if (open !== undefined) strays.push(open.first);
  return { places, strays };
}

/** Rows of a table are blanked to rows without cells, so that the table goes on. */
function blanked(
  { text, lineStarts }: Snapshot,
  lines: readonly string[],
  isLeftOut: (line: number) => boolean,
): string {
  const parts: string[] = [];
  const isRow = (line: number) => /^\s*\|/.test(lines[line] ?? '');
  for (let line = 0; line < lineStarts.length; ) {
    let next = line;
    while (next < lineStarts.length && isLeftOut(next)) next++;
    const start = lineStarts[line] ?? 0;
    if (next === line) {
      parts.push(text.slice(start, lineStarts[line + 1] ?? text.length));
      line++;
      continue;
    }
    const isInTable = isRow(line - 1) && isRow(next);
    const left = text.slice(start, lineStarts[next] ?? text.length).replace(/[^\r\n\uFEFF]/g, ' ');
    parts.push(isInTable ? left.replace(/(^|\n|\r(?!\n)) /g, '$1|') : left);
    line = next;
  }
  return parts.join('');
}

function problemOf(place: Place, snapshot: Snapshot): WritingProblem {
  const { first, last, ours, oursEnd, theirs, nameOfOurs, nameOfTheirs } = place;
  const { lineStarts, text } = snapshot;
  const from = lineStarts[first] ?? 0;
  const region: Span = { start: from, end: lineStarts[last + 1] ?? text.length };
  const between = (start: number, end: number) =>
    text.slice(lineStarts[start] ?? 0, lineStarts[end] ?? text.length);
  const one = nameOfOurs === '' ? 'the first' : nameOfOurs;
  const other = nameOfTheirs === '' ? 'the second' : nameOfTheirs;
  const bom = first === 0 && text.startsWith('\uFEFF') ? 1 : 0;
  return {
    kind: 'conflict-marked',
    span: { start: from + bom, end: lineSpan(snapshot, first).end },
    message: `A merge was left undecided here: two versions stand one below the other (${one}, then ${other}), and they cannot both be true. Keep what is true and delete the lines of marks. Until then the sheet is read as if the first alone were there, and nothing is said of the other.`,
    offers: [
      { saying: `Keep the version of ${one}`, edit: { span: region, text: between(ours, oursEnd) } },
      { saying: `Keep the version of ${other}`, edit: { span: region, text: between(theirs, last) } },
    ],
  };
}

function strayProblem(line: number, snapshot: Snapshot): WritingProblem {
  const { start, end } = lineSpan(snapshot, line);
  const region: Span = { start, end: snapshot.lineStarts[line + 1] ?? snapshot.text.length };
  return {
    kind: 'conflict-marked',
    span: { start, end },
    message:
      'A mark of a merge was left here, without the others that go with it. Look at what stands around it, keep what is true and delete the mark.',
    offers: [{ saying: 'Delete the mark', edit: { span: region, text: '' } }],
  };
}
