/**
 * Owns the cutting of a sheet into pieces after an edit: which old pieces still stand, which are read anew, what these take over
 * of those that are gone, and where all of it stands now.
 */
import { findChange } from '../text/change.ts';
import { countBefore } from '../text/halving.ts';
import { lineAt, type Snapshot } from '../text/snapshot.ts';
import { moveSpan, type Span } from '../text/span.ts';
import { type Adoption, adoptBlocks, adoptList, collectSpans } from './adopting.ts';
import { findClosing, type OpenBlock } from './chunks.ts';
import { findLent, type Piece, readLeaning, readPiece } from './pieces.ts';

/** What was typed between two snapshots, as characters and as the lines of the new one that may read otherwise. */
export interface EditedLines {
  readonly start: number;
  /** How far all behind it has moved. */
  readonly by: number;
  readonly lines: { readonly from: number; readonly to: number };
  /** Where those lines begin and end, in the new text. */
  readonly first: number;
  readonly last: number;
}

export function findEdit(before: Snapshot, after: Snapshot): EditedLines {
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

/** A piece of the new note, and where an old one that was taken over must be moved to. */
export interface Placed {
  readonly piece: Piece;
  readonly start: number;
}

/** Cuts the text from `from` on into pieces, the old ones where they still stand and new ones where not. */
export function placePieces(
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
  let next = placed.length === 0 ? 0 : countBefore(boundaries, (boundary) => boundary <= start);
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
export function put({ piece, start }: Placed): Piece {
  const by = start - piece.start;
  if (by === 0) return piece;
  for (const span of piece.spans) moveSpan(span, span.start + by, span.end + by);
  const moved: { start: number } = piece;
  moved.start = start;
  return piece;
}
