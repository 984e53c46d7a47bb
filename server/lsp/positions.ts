/**
 * Owns how the editor counts along a line: in UTF-16 units as we do, in UTF-8 bytes or in code points, whichever was agreed upon.
 * Everything below this layer speaks of UTF-16 offsets only.
 */
import { type Position, PositionEncodingKind, type Range } from 'vscode-languageserver';
import {
  lineSpan,
  type Snapshot,
  offsetAt as utf16OffsetAt,
  positionAt as utf16PositionAt,
} from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';

export interface Places {
  /** Held to what is there: never past the line or the text, and never inside a character. */
  readonly offsetAt: (snapshot: Snapshot, position: Position) => number;
  readonly positionAt: (snapshot: Snapshot, offset: number) => Position;
  readonly spanOf: (snapshot: Snapshot, range: Range) => Span;
  readonly rangeOf: (snapshot: Snapshot, span: Span) => Range;
}

/** What one code point counts. */
type Width = (codePoint: number) => number;

const WIDTHS: Readonly<Record<string, Width>> = {
  // A lone surrogate is sent as U+FFFD, which has three bytes.
  [PositionEncodingKind.UTF8]: (point) => (point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4),
  [PositionEncodingKind.UTF32]: () => 1,
};

/** The encoding to use: the editor's dearest that we know, and UTF-16 with one that does not say. */
export function agreeOn(offered: readonly PositionEncodingKind[] | undefined): PositionEncodingKind {
  const known = offered?.find((each) => each === PositionEncodingKind.UTF16 || Object.hasOwn(WIDTHS, each));
  return known ?? PositionEncodingKind.UTF16;
}

/** `encoding` is asked at every conversion, because it is agreed upon only after the server was put together. */
export function createPlaces(encoding: () => PositionEncodingKind): Places {
  const positionAt = (snapshot: Snapshot, offset: number): Position => {
    const position = utf16PositionAt(snapshot, offset);
    const width = WIDTHS[encoding()];
    if (width === undefined) return position;
    const start = snapshot.lineStarts[position.line] ?? 0;
    return {
      line: position.line,
      character: countOf(snapshot.text, start, start + position.character, width),
    };
  };
  const offsetAt = (snapshot: Snapshot, position: Position): number => {
    const width = WIDTHS[encoding()];
    if (width === undefined || snapshot.lineStarts[position.line] === undefined)
      return utf16OffsetAt(snapshot, position);
    const { start, end } = lineSpan(snapshot, position.line);
    return offsetBehind(snapshot.text, { start, end }, position.character, width);
  };
  return {
    offsetAt,
    positionAt,
    spanOf: (snapshot, range) => {
      const [one, other] = [offsetAt(snapshot, range.start), offsetAt(snapshot, range.end)];
      return { start: Math.min(one, other), end: Math.max(one, other) };
    },
    rangeOf: (snapshot, { start, end }) => ({
      start: positionAt(snapshot, start),
      end: positionAt(snapshot, end),
    }),
  };
}

function countOf(text: string, start: number, end: number, width: Width): number {
  let count = 0;
  for (let at = start; at < end; ) {
    const point = text.codePointAt(at) ?? 0;
    count += width(point);
    at += point > 0xffff ? 2 : 1;
  }
  return count;
}

/**
 * ```text
 * | 🔥 R1 |      UTF-8: 🔥 is 4 bytes, so character 7 is the R
 *      ^         UTF-16: character 5
 * ```
 */
function offsetBehind(text: string, { start, end }: Span, character: number, width: Width): number {
  let left = character;
  let at = start;
  while (at < end) {
    const point = text.codePointAt(at) ?? 0;
    left -= width(point);
    if (left < 0) break;
    at += point > 0xffff ? 2 : 1;
  }
  return at;
}
