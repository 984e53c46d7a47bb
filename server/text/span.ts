/**
 * Owns the half-open stretch of text that everything above points at: UTF-16 offsets into one exact snapshot.
 * Lines and columns do not exist here; only `lsp` and the command line speak of them.
 */

/** A stretch of text: `start` inclusive, `end` exclusive, both UTF-16 offsets into the snapshot's text. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

export function span(start: number, end: number): Span {
  return { start, end };
}

export function shift(of: Span, by: number): Span {
  return by === 0 ? of : { start: of.start + by, end: of.end + by };
}

/** Whether an offset touches the span; the end counts, so that a cursor behind the last letter is still on it. */
export function touches(within: Span, offset: number): boolean {
  return within.start <= offset && offset <= within.end;
}

export function contains(outer: Span, inner: Span): boolean {
  return outer.start <= inner.start && inner.end <= outer.end;
}

export function overlaps(a: Span, b: Span): boolean {
  return a.start < b.end && b.start < a.end;
}

/** The smallest span that holds all of `spans`; undefined for none. */
export function cover(spans: readonly Span[]): Span | undefined {
  const first = spans[0];
  if (first === undefined) return undefined;
  let { start, end } = first;
  for (const each of spans) {
    start = Math.min(start, each.start);
    end = Math.max(end, each.end);
  }
  return { start, end };
}
