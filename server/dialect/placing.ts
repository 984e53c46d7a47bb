/**
 * Owns the cutting of a sheet into pieces after an edit: which old pieces still stand, which are read anew, what these take over
 * of those that are gone, and where all of it stands now.
 */
import { findChange } from '../text/change.ts';
import { countBefore } from '../text/halving.ts';
import { lineAt, type Snapshot } from '../text/snapshot.ts';
import { moveSpan } from '../text/span.ts';
import { differenceOf } from '../text/stretch.ts';
import { type Adoption, adoptBlocks, adoptList } from './adopting.ts';
import { findClosing, type OpenBlock } from './chunks.ts';
import { findLent, type Piece, readLeaning, readPiece } from './pieces.ts';
import { collectSpans } from './shifting.ts';

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

/** A piece, and where it stands in the new text. */
interface Placed {
  readonly piece: Piece;
  readonly start: number;
}

/** How a text is cut: old pieces as they stand, pieces that were looked for, and old pieces that have moved with the rest. */
interface Cut {
  readonly head: readonly Piece[];
  readonly middle: readonly Placed[];
  readonly tail: readonly Piece[];
  /** How far the tail has moved. */
  readonly by: number;
}

/** The pieces of the new note, and what moves those that were taken over to where they stand in it. */
export interface Pieces {
  readonly pieces: readonly Piece[];
  readonly move: () => void;
}

/** Cuts the text from `from` on into pieces, the old ones where they still stand and new ones where not. */
export function placePieces(
  snapshot: Snapshot,
  from: number,
  boundaries: readonly number[],
  old: readonly Piece[],
  edit: EditedLines | undefined,
  adoption: Adoption,
  isFollowed: boolean,
): Pieces {
  const { head, middle, tail, by } = cut(snapshot, from, boundaries, old, edit, adoption.before, isFollowed);
  const found = [...head, ...middle.map(({ piece }) => piece), ...tail];
  const behind = head.length + middle.length;
  const startAt = (index: number): number =>
    middle[index - head.length]?.start ?? (found[index]?.start ?? 0) + (index < behind ? 0 : by);
  const lent = findLent(found);
  const read = found.map((piece, i) => {
    const own = lent[i] ?? '';
    if (piece.lent === own) return piece;
    const start = startAt(i);
    return readLeaning({ ...piece, start }, snapshot.text, own, isFollowed);
  });
  const pieces = adoptInto(read, old, adoption);
  return {
    pieces,
    move: () => {
      // What was read now stands right; of the rest, what stands before the edit does.
      for (let i = head.length; i < (by === 0 ? behind : pieces.length); i++) {
        const piece = pieces[i];
        if (piece !== undefined && piece === found[i]) movePiece(piece, startAt(i));
      }
    },
  };
}

/** What the pieces that are gone said is taken over into the new ones, where it is still said. */
function adoptInto(pieces: readonly Piece[], old: readonly Piece[], adoption: Adoption): readonly Piece[] {
  const { gone: left, come } = differenceOf(old, pieces);
  const stays = new Set(come);
  const gone = left.filter((piece) => !stays.has(piece));
  if (gone.length === 0) return pieces;
  const stood = new Set(left);
  const fresh = come.filter((piece) => !stood.has(piece));
  const blocks = adoptBlocks(
    gone.flatMap((piece) => piece.blocks),
    fresh.flatMap((piece) => piece.blocks),
    adoption,
  );
  const problems = adoptList(
    gone.flatMap((piece) => piece.problems),
    fresh.flatMap((piece) => piece.problems),
    adoption,
  );
  let nextBlock = 0;
  let nextProblem = 0;
  const adopted = [...pieces];
  for (const piece of fresh) {
    const own = {
      blocks: blocks.slice(nextBlock, nextBlock + piece.blocks.length),
      problems: problems.slice(nextProblem, nextProblem + piece.problems.length),
    };
    nextBlock += piece.blocks.length;
    nextProblem += piece.problems.length;
    adopted[pieces.indexOf(piece)] = { ...piece, ...own, spans: collectSpans(own) };
  }
  return adopted;
}

function cut(
  snapshot: Snapshot,
  from: number,
  boundaries: readonly number[],
  old: readonly Piece[],
  edit: EditedLines | undefined,
  oldText: string,
  isFollowed: boolean,
): Cut {
  const { text } = snapshot;
  const isHeadSame = edit !== undefined && old[0]?.start === from;
  const kept = isHeadSame ? countBefore(old, (piece) => endOfPiece(piece) < edit.first) : 0;
  const head = old.slice(0, kept);
  const last = head.at(-1);
  const middle: Placed[] = [];
  const by = edit?.by ?? 0;
  let start = last === undefined ? from : endOfPiece(last);
  const takeOver = createTakeOver(old, kept, oldText, text, edit);
  let next = kept === 0 ? 0 : countBefore(boundaries, (boundary) => boundary <= start);
  while (start < text.length) {
    const tail = takeOver.allFrom(start);
    if (tail !== undefined) return { head, middle, tail, by };
    while ((boundaries[next] ?? Number.POSITIVE_INFINITY) <= start) next++;
    let end = boundaries[next] ?? text.length;
    const readTo = (to: number): Piece => {
      return takeOver.alike(start, to) ?? readPiece(text, { start, end: to }, isFollowed);
    };
    let piece = readTo(end);
    // Twice, because the search for HTML's end may be early by odd cases; then all the rest is one piece.
    for (let round = 0; piece.open !== undefined && end < text.length; round++) {
      const open: OpenBlock = { kind: piece.open.kind, start: start + piece.open.start };
      end = (round < 2 ? findClosing(snapshot, open, end) : undefined) ?? text.length;
      piece = readTo(end);
    }
    takeOver.took(piece);
    middle.push({ piece, start });
    start = end;
  }
  return { head, middle, tail: [], by };
}

/** Old pieces from `next` on, for taking over in their order: what is taken over never changes places with another. */
function createTakeOver(
  old: readonly Piece[],
  next: number,
  oldText: string,
  text: string,
  edit: EditedLines | undefined,
) {
  let from = next;
  let byText: Map<string, number[]> | undefined;
  return {
    /** All that is left, where it begins at this place and the edit lies before it. */
    allFrom(start: number): readonly Piece[] | undefined {
      if (edit === undefined || start < edit.last) return undefined;
      const index = countBefore(old, (piece) => piece.start < start - edit.by);
      return index < from || old[index]?.start !== start - edit.by ? undefined : old.slice(index);
    },
    /** The next old piece of the text that stands here. */
    alike(start: number, end: number): Piece | undefined {
      if (old.length <= from) return undefined;
      if (byText === undefined) {
        byText = new Map();
        for (let i = next; i < old.length; i++) {
          const piece = old[i];
          if (piece === undefined) break;
          if (edit !== undefined && piece.start + edit.by > edit.last) break;
          const own = oldText.slice(piece.start, endOfPiece(piece));
          const list = byText.get(own);
          if (list === undefined) byText.set(own, [i]);
          else list.push(i);
        }
      }
      const index = byText.get(text.slice(start, end))?.find((i) => i >= from);
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
function movePiece(piece: Piece, start: number): void {
  const by = start - piece.start;
  if (by === 0) return;
  for (const span of piece.spans) moveSpan(span, span.start + by, span.end + by);
  const moved: { start: number } = piece;
  moved.start = start;
}
