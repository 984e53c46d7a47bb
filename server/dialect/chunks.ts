/**
 * Owns where a sheet may be cut so that its pieces read alone as they read together. CommonMark carries a block over a
 * blank line only into indented lines, into a fence that stands open, or into HTML that waits for its end; so behind a
 * blank line, at column 0, outside of those, nothing of the line before goes on. Whether a fence or HTML stands open is
 * not guessed here: the parser itself is asked, by whoever reads the pieces.
 */
import { lineAt, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';

/** What stands open at the end of a piece: it began at `start` (an offset into the sheet). */
export interface OpenBlock {
  readonly kind: 'fence' | 'html';
  readonly start: number;
}

const BYTE_ORDER_MARK = 0xfeff;

/**
 * The offsets at which a piece begins, in order, from `from` on (not included). That depends on a line and the one before it
 * alone, so that an edit moves no boundary but those in the lines it touched.
 */
export function findBoundaries(snapshot: Snapshot, from: number): number[] {
  return boundariesIn(snapshot, from, lineAt(snapshot, from), snapshot.lineStarts.length);
}

/** As `findBoundaries`, where an edit touched no lines but those from `first` to before `end`: `known` are those before it. */
export function findBoundariesAgain(
  snapshot: Snapshot,
  from: number,
  known: { readonly snapshot: Snapshot; readonly boundaries: readonly number[] },
  lines: { readonly from: number; readonly to: number },
): number[] {
  const { lineStarts, text } = snapshot;
  const first = lineStarts[lines.from] ?? 0;
  // Behind the last touched line the next one may be a boundary by that line's being blank.
  const last = lineStarts[lines.to] ?? text.length;
  const by = text.length - known.snapshot.text.length;
  const boundaries: number[] = [];
  let next = 0;
  for (; (known.boundaries[next] ?? Number.POSITIVE_INFINITY) < first; next++)
    boundaries.push(known.boundaries[next] ?? 0);
  for (const each of boundariesIn(
    snapshot,
    from,
    Math.max(lineAt(snapshot, from), lines.from - 1),
    lines.to + 1,
  ))
    if (each >= first) boundaries.push(each);
  for (; next < known.boundaries.length; next++) {
    const moved = (known.boundaries[next] ?? 0) + by;
    if (moved > last) boundaries.push(moved);
  }
  return boundaries;
}

function boundariesIn(snapshot: Snapshot, from: number, firstLine: number, endLine: number): number[] {
  const { text, lineStarts } = snapshot;
  const boundaries: number[] = [];
  let isAfterBlank = false;
  for (let line = firstLine; line < Math.min(endLine, lineStarts.length); line++) {
    const start = lineStarts[line] ?? 0;
    const end = lineStarts[line + 1] ?? text.length;
    if (isAfterBlank && start > from && opensAtMargin(text, start, end)) {
      boundaries.push(start);
    }
    isAfterBlank = isBlank(text, start, end);
  }
  return boundaries;
}

/**
 * The offset behind the line that closes what stands open, looking from `from` on; undefined where nothing does. For a
 * fence this is exact; for HTML it may be too early by odd cases, and the parser is asked again.
 */
export function findClosing(snapshot: Snapshot, open: OpenBlock, from: number): number | undefined {
  const { text, lineStarts } = snapshot;
  const closes = open.kind === 'fence' ? fenceClosing(text, open.start) : htmlClosing(text, open.start);
  if (closes === undefined) return undefined;
  for (let line = lineAt(snapshot, from); line < lineStarts.length; line++) {
    if (closes(snapshot, lineSpan(snapshot, line))) return lineStarts[line + 1] ?? text.length;
  }
  return undefined;
}

type Closes = (snapshot: Snapshot, line: Span) => boolean;

/** At least as many of the same sign, up to three spaces before, nothing behind. */
function fenceClosing(text: string, start: number): Closes | undefined {
  const sign = text.charAt(start);
  let size = 0;
  while (text.charAt(start + size) === sign) size++;
  if (sign !== '`' && sign !== '~' && sign !== '$') return undefined;
  return (snapshot, line) => {
    const trimmed = snapshot.text.slice(line.start, line.end).replace(/[ \t]+$/, '');
    const marks = trimmed.replace(/^ {0,3}/, '');
    return marks.length >= size && marks === sign.repeat(marks.length);
  };
}

function htmlClosing(text: string, start: number): Closes | undefined {
  const head = text.slice(start, start + 16);
  const end = /^<!--/.test(head)
    ? /-->/
    : /^<\?/.test(head)
      ? /\?>/
      : /^<!\[CDATA\[/.test(head)
        ? /\]\]>/
        : /^<!/.test(head)
          ? />/
          : /<\/(?:script|pre|style|textarea)>/i;
  return (snapshot, line) => end.test(snapshot.text.slice(line.start, line.end));
}

/**
 * Whether a line begins with something at column 0. Not with a byte-order mark, which is dropped where a piece begins
 * with it; nor with a number or a lone bullet, because behind indented code and a blank line micromark still takes these
 * for the kind of list that may not interrupt a paragraph.
 */
function opensAtMargin(text: string, start: number, end: number): boolean {
  if (start >= end) return false;
  const code = text.charCodeAt(start);
  if (code === 0x20 || code === 0x09 || code === 0x0a || code === 0x0d || code === BYTE_ORDER_MARK)
    return false;
  if (code >= 0x30 && code <= 0x39) return false;
  const isBullet = code === 0x2a || code === 0x2b || code === 0x2d;
  return !isBullet || !isBlank(text, start + 1, end);
}

function isBlank(text: string, start: number, end: number): boolean {
  for (let at = start; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code !== 0x20 && code !== 0x09 && code !== 0x0a && code !== 0x0d) return false;
  }
  return true;
}
