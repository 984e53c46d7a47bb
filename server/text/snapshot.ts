/**
 * Owns the immutable text of one sheet at one moment, and the only conversion between offsets and lines.
 * A line ends at LF, CRLF or a lone CR, as the editor protocol has it; U+2028, form feed and the like do not end one.
 */
import { findChange } from './change.ts';
import { countBefore } from './halving.ts';
import type { Span } from './span.ts';

/** A sheet's text at one moment. Frozen: an edit makes another snapshot, and identity is what caches key on. */
export interface Snapshot {
  readonly uri: string;
  readonly version: number;
  /** Exactly what was given, a leading byte-order mark included. */
  readonly text: string;
  /** The offset at which each line begins. */
  readonly lineStarts: readonly number[];
}

/** Line and UTF-16 character, both from 0, as in the editor protocol and our JSON. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

export interface Range {
  readonly start: Position;
  readonly end: Position;
}

const LF = 10;
const CR = 13;

/**
 * A sheet's text as it is now. Where it was edited from another snapshot, `before`, the lines that the edit left alone are
 * not looked for again.
 */
export function createSnapshot(uri: string, text: string, version = 0, before?: Snapshot): Snapshot {
  const lineStarts = before === undefined ? scanLines(text, [0], text.length) : linesAfter(before, text);
  const snapshot = Object.freeze({ uri, version, text, lineStarts: Object.freeze(lineStarts) });
  made += 1;
  madeAs.set(snapshot, made);
  return snapshot;
}

/** Snapshots are counted as they are made: `version` says nothing of it, since it starts again at every opening. */
let made = 0;
const madeAs = new WeakMap<Snapshot, number>();

/** Whether a snapshot was made before another. */
export function isOlder(one: Snapshot, other: Snapshot): boolean {
  return (madeAs.get(one) ?? 0) < (madeAs.get(other) ?? 0);
}

/** Adds the starts of lines behind the last of `starts`, up to `limit` and including it. */
function scanLines(text: string, starts: number[], limit: number): number[] {
  for (let i = starts.at(-1) ?? 0; i < limit; i++) {
    const code = text.charCodeAt(i);
    if (code === CR && text.charCodeAt(i + 1) === LF) i++;
    if ((code === CR || code === LF) && i < limit) starts.push(i + 1);
  }
  return starts;
}

/**
 * The line starts of `text` from those of the text before it. A start is told by the two characters before it and the one
 * behind it (`\r\n` ends one line, not two), so those are kept that stand clear of the change by as much.
 */
function linesAfter({ text: old, lineStarts }: Snapshot, text: string): number[] {
  const { start, endBefore, endAfter } = findChange(old, text);
  const by = endAfter - endBefore;
  const kept = countBefore(lineStarts, (at) => at < start);
  const starts = lineStarts.slice(0, Math.max(1, kept));
  scanLines(text, starts, Math.min(endAfter + 1, text.length));
  for (let i = countBefore(lineStarts, (at) => at < endBefore + 2); i < lineStarts.length; i++) {
    starts.push((lineStarts[i] ?? 0) + by);
  }
  return starts;
}

/** The line that holds an offset (the last one that starts at or before it). */
export function lineAt(snapshot: Snapshot, offset: number): number {
  return Math.max(0, countBefore(snapshot.lineStarts, (start) => start <= offset) - 1);
}

export function positionAt(snapshot: Snapshot, offset: number): Position {
  const clamped = clampOffset(snapshot.text, offset);
  const line = lineAt(snapshot, clamped);
  return { line, character: clamped - (snapshot.lineStarts[line] ?? 0) };
}

export function rangeOf(snapshot: Snapshot, of: Span): Range {
  return { start: positionAt(snapshot, of.start), end: positionAt(snapshot, of.end) };
}

/** The offset of a position; a character past the line's end means its end, a line past the last means the text's end. */
export function offsetAt(snapshot: Snapshot, position: Position): number {
  const { lineStarts, text } = snapshot;
  if (position.line < 0) return 0;
  const start = lineStarts[position.line];
  if (start === undefined) return text.length;
  const { end } = lineSpan(snapshot, position.line);
  return clampOffset(text, Math.min(start + Math.max(0, position.character), end));
}

/** A line without its ending. */
export function lineSpan(snapshot: Snapshot, line: number): Span {
  const { lineStarts, text } = snapshot;
  const start = lineStarts[line] ?? text.length;
  let end = lineStarts[line + 1] ?? text.length;
  if (end > start && lineStarts[line + 1] !== undefined) {
    if (text.charCodeAt(end - 1) === LF && text.charCodeAt(end - 2) === CR) end -= 2;
    else end -= 1;
  }
  return { start, end };
}

/** The ending of the line that holds an offset, or of the nearest line before it that has one; LF in a one-line text. */
export function lineEndingNear(snapshot: Snapshot, offset: number): '\n' | '\r\n' | '\r' {
  for (let line = lineAt(snapshot, offset); line >= 0; line--) {
    const next = snapshot.lineStarts[line + 1];
    if (next === undefined) continue;
    const ending = snapshot.text.slice(lineSpan(snapshot, line).end, next);
    if (ending === '\r\n' || ending === '\r' || ending === '\n') return ending;
  }
  return '\n';
}

/** Inside the text, and never between the two halves of a surrogate pair or of a CRLF (then before both). */
function clampOffset(text: string, offset: number): number {
  const inside = Math.max(0, Math.min(offset, text.length));
  const before = text.charCodeAt(inside - 1);
  const at = text.charCodeAt(inside);
  const splitsPair = before >= 0xd800 && before <= 0xdbff && at >= 0xdc00 && at <= 0xdfff;
  const splitsEnding = before === CR && at === LF;
  return splitsPair || splitsEnding ? inside - 1 : inside;
}
