/**
 * Owns the half-open stretch of text that everything above points at: UTF-16 offsets into one exact snapshot.
 * Lines and columns do not exist here; only `lsp` and the command line speak of them.
 *
 * What a note says moves with its text: when a reader reads the next snapshot of a sheet, the spans of all that an edit
 * left alone are moved, and what was made of it is right again without being made again. So a span holds until then, a
 * number taken from it only for the moment, and a span that is made of another is made by the functions below.
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

/** Moves a span to where its text stands now. Only whoever reads notes may: it knows that the text is the same. */
export function moveSpan(of: Span, start: number, end: number): void {
  const moved: { start: number; end: number } = of;
  moved.start = start;
  moved.end = end;
}

/** A stretch within a span, by offsets from its start: it moves with it. */
export function partOf(whole: Span, from: number, to: number): Span {
  return {
    get start() {
      return whole.start + from;
    },
    get end() {
      return whole.start + to;
    },
  };
}

/** The empty span at the end of another: it moves with it. */
export function endOf(of: Span): Span {
  return spanFrom(
    () => of.end,
    () => of.end,
  );
}

/** What lies between two spans: it moves with both. */
export function spanBetween(first: Span, second: Span): Span {
  return spanFrom(
    () => first.end,
    () => second.start,
  );
}

/** From the start of one span to the end of another, whichever they are at the moment: it moves with both. */
export function spanReaching(reach: { readonly first: Span; readonly last: Span }): Span {
  return spanFrom(
    () => reach.first.start,
    () => reach.last.end,
  );
}

function spanFrom(start: () => number, end: () => number): Span {
  return {
    get start() {
      return start();
    },
    get end() {
      return end();
    },
  };
}
