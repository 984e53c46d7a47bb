/**
 * Owns the reading of a sheet's text into a note. A sheet is cut into pieces that read alone (see `chunks.ts`); the next
 * text of the same sheet is held against the last, and only the pieces that the edit touched are read again. All others
 * stay the very same objects, and their spans are moved to where they stand now: what was made of them is right again.
 * The result is what reading the whole at once gives, which a property test holds it to.
 */
import { findChange } from '../text/change.ts';
import { isOlder, lineAt, type Snapshot } from '../text/snapshot.ts';
import { moveSpan, type Span } from '../text/span.ts';
import { type Adoption, adoptBlocks, adoptEntries, adoptList, collectSpans, settle } from './adopting.ts';
import { findBoundaries, findBoundariesAgain, findClosing, type OpenBlock } from './chunks.ts';
import { findFrontMatter, findUnclosedFrontMatter, readFrontMatter } from './front-matter.ts';
import { findFrontMatterLimit, measure, measureAgain } from './limits.ts';
import { findLent, type Piece, readLeaning, readPiece } from './pieces.ts';
import type { FrontMatter, Note, WritingProblem } from './tree.ts';

/**
 * Reads notes and remembers the last of each sheet. One for a session; it may serve any number of sheets. When it reads
 * the next snapshot of a sheet, the spans of that sheet's earlier note move on: `isStanding` says which note they are right
 * for. A snapshot that is older than the last one read is read by itself and moves nothing.
 */
export interface NoteReader {
  readNote(snapshot: Snapshot): Note;
  /** Lets go of what is remembered of a sheet's last reading. */
  forget(uri: string): void;
}

export interface ReaderOptions {
  /** Characters of text of which the last reading is remembered; few where every sheet is read once. */
  readonly remembered?: number;
}

/** Some ten sheets at the limit, or hundreds of ordinary ones. */
const REMEMBERED = 4_000_000;

export function createReader({ remembered = REMEMBERED }: ReaderOptions = {}): NoteReader {
  /** Least recently read first, which is the order a map keeps if whatever is used is put in again. */
  const lastOf = new Map<string, Reading>();
  let size = 0;
  const forget = (uri: string): void => {
    size -= lastOf.get(uri)?.note.snapshot.text.length ?? 0;
    lastOf.delete(uri);
  };
  return {
    forget,
    readNote(snapshot) {
      const { uri } = snapshot;
      const last = lastOf.get(uri);
      if (last?.note.snapshot === snapshot) return last.note;
      if (last !== undefined && isOlder(snapshot, last.note.snapshot)) return read(snapshot, undefined).note;
      const reading = read(snapshot, last);
      if (last !== undefined) passed.add(last.note);
      forget(uri);
      lastOf.set(uri, reading);
      size += snapshot.text.length;
      for (const oldest of lastOf.keys()) {
        if (size <= remembered || oldest === uri) break;
        forget(oldest);
      }
      return reading.note;
    },
  };
}

/** Notes whose sheet was read again since by the same reader. */
const passed = new WeakSet<Note>();

/** Whether the spans of a note, and of all that was made of it, are those of its own snapshot. */
export function isStanding(note: Note): boolean {
  return !passed.has(note);
}

/** Reads one sheet and remembers nothing. */
export function readNote(snapshot: Snapshot): Note {
  return read(snapshot, undefined).note;
}

/** A note and what reading the next snapshot of its sheet can take over. */
interface Reading {
  readonly note: Note;
  /** Absent where the sheet was too large to be read. */
  readonly cut?: {
    readonly from: number;
    readonly boundaries: readonly number[];
    readonly pieces: readonly Piece[];
    readonly linkTargets: number;
    readonly head?: Head;
  };
}

interface Head {
  readonly span: Span;
  readonly frontMatter: FrontMatter;
  readonly problems: readonly WritingProblem[];
}

function read(snapshot: Snapshot, last: Reading | undefined): Reading {
  const before = last?.cut === undefined ? undefined : { ...last.cut, snapshot: last.note.snapshot };
  const edit = before === undefined ? undefined : findEdit(before.snapshot, snapshot);
  const { problem: tooLarge, linkTargets } =
    before === undefined || edit === undefined
      ? measure(snapshot)
      : measureAgain(snapshot, edit.lines, before);
  const thread = last?.note.thread ?? {};
  if (tooLarge !== undefined) return { note: emptyNote(snapshot, tooLarge, thread) };
  const headSpan = findFrontMatter(snapshot);
  const headTooLarge = headSpan === undefined ? undefined : findFrontMatterLimit(snapshot, headSpan);
  if (headTooLarge !== undefined) return { note: emptyNote(snapshot, headTooLarge, thread) };

  const from = bodyStart(snapshot, headSpan?.end);
  const isBodyAlone = before !== undefined && edit !== undefined && before.from === from && edit.start > from;
  const boundaries = isBodyAlone
    ? findBoundariesAgain(snapshot, from, before, edit.lines)
    : findBoundaries(snapshot, from);
  const adoption: Adoption = { before: before?.snapshot.text ?? '', after: snapshot.text, places: new Map() };
  const head =
    headSpan === undefined ? undefined : readHead(snapshot, headSpan, before?.head, edit, adoption);
  const unclosed = headSpan === undefined ? findUnclosedFrontMatter(snapshot) : undefined;
  const placed = placePieces(snapshot, from, boundaries, before?.pieces ?? [], edit, adoption);

  // Up to here the spans of the last note still say where its things stood.
  settle(adoption);
  const pieces = placed.map(put);
  const end = last?.note.end ?? { start: 0, end: 0 };
  moveSpan(end, snapshot.text.length, snapshot.text.length);
  const note: Note = {
    snapshot,
    ...(head === undefined ? {} : { frontMatter: head.frontMatter }),
    blocks: pieces.flatMap(({ blocks }) => blocks),
    problems: [
      ...(unclosed === undefined ? [] : [unclosed]),
      ...(head?.problems ?? []),
      ...pieces.flatMap(({ problems }) => problems),
    ],
    pieces,
    end,
    thread,
  };
  return {
    note,
    cut: { from, boundaries, pieces, linkTargets, ...(head === undefined ? {} : { head }) },
  };
}

function emptyNote(snapshot: Snapshot, problem: WritingProblem, thread: object): Note {
  const end = { start: snapshot.text.length, end: snapshot.text.length };
  return { snapshot, blocks: [], problems: [problem], pieces: [], end, thread };
}

/** Behind the front matter's closing fence and its line ending, or behind the byte-order mark. */
function bodyStart(snapshot: Snapshot, headEnd: number | undefined): number {
  if (headEnd === undefined) return snapshot.text.startsWith('\uFEFF') ? 1 : 0;
  return snapshot.lineStarts[lineAt(snapshot, headEnd) + 1] ?? snapshot.text.length;
}

/** What was typed between two snapshots, as characters and as the lines of the new one that may read otherwise. */
interface EditedLines {
  readonly start: number;
  /** How far all behind it has moved. */
  readonly by: number;
  readonly lines: { readonly from: number; readonly to: number };
  /** Where those lines begin and end, in the new text. */
  readonly first: number;
  readonly last: number;
}

function findEdit(before: Snapshot, after: Snapshot): EditedLines {
  const { start, endBefore, endAfter } = findChange(before.text, after.text);
  // One line more on both sides, because a line ending may be of two characters.
  const from = Math.max(0, lineAt(after, start) - 1);
  const to = Math.min(after.lineStarts.length, lineAt(after, endAfter) + 2);
  return {
    start,
    by: endAfter - endBefore,
    lines: { from, to },
    first: after.lineStarts[from] ?? 0,
    last: after.lineStarts[to] ?? after.text.length,
  };
}

/** The front matter stands still while the notes below it are written. */
function readHead(
  snapshot: Snapshot,
  span: Span,
  last: Head | undefined,
  edit: EditedLines | undefined,
  adoption: Adoption,
): Head {
  if (last !== undefined && edit !== undefined && last.span.end === span.end && edit.start > span.end)
    return last;
  const { frontMatter, problems } = readFrontMatter(snapshot, span);
  if (last === undefined) return { span, frontMatter, problems };
  const entries = adoptEntries(last.frontMatter.entries, frontMatter.entries, adoption);
  return { span, frontMatter: { ...frontMatter, entries }, problems };
}

// ---------------------------------------------------------------------------------------------------------------
// Pieces, cut and taken over

/** A piece of the new note, and where an old one that was taken over must be moved to. */
interface Placed {
  readonly piece: Piece;
  readonly start: number;
}

/** Cuts the text from `from` on into pieces, the old ones where they still stand and new ones where not. */
function placePieces(
  snapshot: Snapshot,
  from: number,
  boundaries: readonly number[],
  old: readonly Piece[],
  edit: EditedLines | undefined,
  adoption: Adoption,
): readonly Placed[] {
  const placed = cut(snapshot, from, boundaries, old, edit, adoption.before);
  const lent = findLent(placed.map(({ piece }) => piece));
  const kept = new Set<Piece>();
  const leaning = placed.map(({ piece, start }, i): Placed => {
    const own = lent[i] ?? '';
    if (piece.lent === own) {
      kept.add(piece);
      return { piece, start };
    }
    const text = snapshot.text.slice(start, start + piece.length);
    return { piece: readLeaning({ ...piece, start }, text, own), start };
  });
  const gone = old.filter((piece) => !kept.has(piece));
  if (gone.length === 0) return leaning;
  return adoptInto(leaning, old, gone, adoption);
}

/** What the pieces that are gone said is taken over into the new ones, where it is still said. */
function adoptInto(
  placed: readonly Placed[],
  old: readonly Piece[],
  gone: readonly Piece[],
  adoption: Adoption,
): readonly Placed[] {
  const known = new Set(old);
  const fresh = placed.filter(({ piece }) => !known.has(piece));
  const blocks = adoptBlocks(
    gone.flatMap((piece) => piece.blocks),
    fresh.flatMap(({ piece }) => piece.blocks),
    adoption,
  );
  const problems = adoptList(
    gone.flatMap((piece) => piece.problems),
    fresh.flatMap(({ piece }) => piece.problems),
    adoption,
  );
  let nextBlock = 0;
  let nextProblem = 0;
  return placed.map(({ piece, start }) => {
    if (known.has(piece)) return { piece, start };
    const own = {
      blocks: blocks.slice(nextBlock, nextBlock + piece.blocks.length),
      problems: problems.slice(nextProblem, nextProblem + piece.problems.length),
    };
    nextBlock += piece.blocks.length;
    nextProblem += piece.problems.length;
    const spans = new Set<Span>();
    collectSpans(own, spans);
    return { piece: { ...piece, ...own, spans: [...spans] }, start };
  });
}

function cut(
  snapshot: Snapshot,
  from: number,
  boundaries: readonly number[],
  old: readonly Piece[],
  edit: EditedLines | undefined,
  oldText: string,
): readonly Placed[] {
  const { text } = snapshot;
  const placed: Placed[] = [];
  let start = from;
  let nextOld = 0;
  if (edit !== undefined && old[0]?.start === from) {
    for (const piece of old) {
      if (endOfPiece(piece) >= edit.first) break;
      placed.push({ piece, start });
      start += piece.length;
      nextOld++;
    }
  }
  const takeOver = createTakeOver(old, nextOld, oldText, edit);
  let next = placed.length === 0 ? 0 : countUpTo(boundaries, start);
  while (start < text.length) {
    const rest = takeOver.allFrom(start);
    if (rest !== undefined) {
      for (const piece of rest) placed.push({ piece, start: piece.start + (edit?.by ?? 0) });
      return placed;
    }
    while ((boundaries[next] ?? Number.POSITIVE_INFINITY) <= start) next++;
    let end = boundaries[next] ?? text.length;
    const readTo = (to: number): Piece => {
      const own = text.slice(start, to);
      return takeOver.alike(own) ?? readPiece(own, start);
    };
    let piece = readTo(end);
    // Twice, because the search for HTML's end may be early by odd cases; then all the rest is one piece.
    for (let round = 0; piece.open !== undefined && end < text.length; round++) {
      const open: OpenBlock = { kind: piece.open.kind, start: start + piece.open.start };
      end = (round < 2 ? findClosing(snapshot, open, end) : undefined) ?? text.length;
      piece = readTo(end);
    }
    takeOver.took(piece);
    placed.push({ piece, start });
    start = end;
  }
  return placed;
}

/** Old pieces from `next` on, for taking over in their order: what is taken over never changes places with another. */
function createTakeOver(old: readonly Piece[], next: number, oldText: string, edit: EditedLines | undefined) {
  let from = next;
  let byText: Map<string, number[]> | undefined;
  let byStart: Map<number, number> | undefined;
  return {
    /** All that is left, where it begins at this place and the edit lies before it. */
    allFrom(start: number): readonly Piece[] | undefined {
      if (edit === undefined || start < edit.last) return undefined;
      byStart ??= new Map(old.slice(next).map((piece, i) => [piece.start, next + i]));
      const index = byStart.get(start - edit.by);
      return index === undefined || index < from ? undefined : old.slice(index);
    },
    /** The next old piece of this text. */
    alike(text: string): Piece | undefined {
      if (old.length <= from) return undefined;
      if (byText === undefined) {
        byText = new Map();
        for (const [i, piece] of old.entries()) {
          if (i < next) continue;
          if (edit !== undefined && piece.start + edit.by > edit.last) break;
          const own = oldText.slice(piece.start, endOfPiece(piece));
          const list = byText.get(own);
          if (list === undefined) byText.set(own, [i]);
          else list.push(i);
        }
      }
      const index = byText.get(text)?.find((i) => i >= from);
      return index === undefined ? undefined : old[index];
    },
    took(piece: Piece): void {
      const index = old.indexOf(piece, from);
      if (index >= 0) from = index + 1;
    },
  };
}

function endOfPiece({ start, length }: Piece): number {
  return start + length;
}

/** Moves a piece and all that it says to where it stands now. */
function put({ piece, start }: Placed): Piece {
  const by = start - piece.start;
  if (by === 0) return piece;
  for (const span of piece.spans) moveSpan(span, span.start + by, span.end + by);
  const moved: { start: number } = piece;
  moved.start = start;
  return piece;
}

/** How many of the sorted numbers are at most `limit`. */
function countUpTo(sorted: readonly number[], limit: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? 0) <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
