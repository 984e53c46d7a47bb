/**
 * Owns the reading of a sheet's text into a note. A sheet is cut into pieces that read alone (see `chunks.ts`); the next
 * text of the same sheet is held against the last, and only the pieces that the edit touched are read again. All others
 * stay the very same objects, and their spans are moved to where they stand now: what was made of them is right again.
 * The result is what reading the whole at once gives, which a property test holds it to.
 */
import { createGatherer } from '../text/picking.ts';
import { createSnapshot, isOlder, lineAt, type Snapshot } from '../text/snapshot.ts';
import { moveSpan, type Span } from '../text/span.ts';
import { type Adoption, adoptEntries, settle } from './adopting.ts';
import { findBoundaries, findBoundariesAgain } from './chunks.ts';
import { findUndecided } from './conflicts.ts';
import { findFrontMatter, findUnclosedFrontMatter, readFrontMatter } from './front-matter.ts';
import { findFrontMatterLimit, measure, measureAgain } from './limits.ts';
import type { Piece } from './pieces.ts';
import { type EditedLines, findEdit, placePieces } from './placing.ts';
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
  /** Characters of text of which the last reading is remembered. */
  readonly remembered?: number;
  /** Whether a sheet is read to be told once, and nothing is to be kept for its next text. */
  readonly isReadOnce?: (uri: string) => boolean;
}

/** Some ten sheets at the limit, or hundreds of ordinary ones. */
const REMEMBERED = 4_000_000;

export function createReader({
  remembered = REMEMBERED,
  isReadOnce = () => false,
}: ReaderOptions = {}): NoteReader {
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
      if (isReadOnce(uri)) {
        forget(uri);
        return readNote(snapshot);
      }
      const last = lastOf.get(uri);
      if (last?.note.snapshot === snapshot) return last.note;
      if (last !== undefined && isOlder(snapshot, last.note.snapshot)) return readNote(snapshot);
      const reading = read(snapshot, last, last?.note.thread ?? {});
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
  return read(snapshot, undefined, undefined).note;
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

function read(snapshot: Snapshot, last: Reading | undefined, thread: object | undefined): Reading {
  const undecided = findUndecided(snapshot);
  if (undecided !== undefined) {
    // Read whole each time, and nothing of it is taken over: such a sheet does not stay so for long.
    const { note } = read(createSnapshot(snapshot.uri, undecided.text, snapshot.version), undefined, thread);
    return { note: { ...note, snapshot, problems: [...undecided.problems, ...note.problems] } };
  }
  const before = last?.cut === undefined ? undefined : { ...last.cut, snapshot: last.note.snapshot };
  const edit = before === undefined ? undefined : findEdit(before.snapshot, snapshot);
  const { problem: tooLarge, linkTargets } =
    before === undefined || edit === undefined
      ? measure(snapshot)
      : measureAgain(snapshot, edit.lines, before);
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
  const { pieces, move } = placePieces(
    snapshot,
    from,
    boundaries,
    before?.pieces ?? [],
    edit,
    adoption,
    thread !== undefined,
  );

  // Up to here the spans of the last note still say where its things stood.
  settle(adoption);
  move();
  const end = last?.note.end ?? { start: 0, end: 0 };
  moveSpan(end, snapshot.text.length, snapshot.text.length);
  const note: Note = {
    snapshot,
    ...(head === undefined ? {} : { frontMatter: head.frontMatter }),
    blocks: blocksOf(pieces, thread),
    problems: [
      ...(unclosed === undefined ? [] : [unclosed]),
      ...(head?.problems ?? []),
      ...problemsOf(pieces, thread),
    ],
    pieces,
    end,
    ...(thread === undefined ? {} : { thread }),
  };
  return {
    note,
    cut: { from, boundaries, pieces, linkTargets, ...(head === undefined ? {} : { head }) },
  };
}

const blocksOf = createGatherer(({ blocks }: Piece) => blocks);
const problemsOf = createGatherer(({ problems }: Piece) => problems);

function emptyNote(snapshot: Snapshot, problem: WritingProblem, thread: object | undefined): Note {
  const end = { start: snapshot.text.length, end: snapshot.text.length };
  return {
    snapshot,
    blocks: [],
    problems: [problem],
    pieces: [],
    end,
    ...(thread === undefined ? {} : { thread }),
  };
}

/** Behind the front matter's closing fence and its line ending, or behind the byte-order mark. */
function bodyStart(snapshot: Snapshot, headEnd: number | undefined): number {
  if (headEnd === undefined) return snapshot.text.startsWith('\uFEFF') ? 1 : 0;
  return snapshot.lineStarts[lineAt(snapshot, headEnd) + 1] ?? snapshot.text.length;
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
