/**
 * Owns what a sheet may cost: one pass over the text, before any parsing, that finds what would keep the reader busy for
 * seconds. Over a limit the sheet is not read and says why. The limits are far beyond any sheet a person writes.
 */
import { lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { WritingProblem } from './tree.ts';

/** Counted in UTF-16 units, lines and columns; each is a limit that may be reached and not passed. */
export const LIMITS = {
  textLength: 1_000_000,
  lineLength: 20_000,
  /** List and quote markers at the start of one line: each opens a container, and containers nest. */
  containers: 100,
  /** Columns of white space at the start of one line, a tab up to the next multiple of four. */
  indent: 200,
  /** `](` in the whole text: each is tried as a link's target. */
  linkTargets: 2000,
  frontMatter: 64 * 1024,
} as const;

/** The first limit that a text passes, as the one problem that is told of it. */
export function findLimit(snapshot: Snapshot): WritingProblem | undefined {
  const { text, lineStarts } = snapshot;
  if (text.length > LIMITS.textLength) {
    return tooLarge(
      { start: 0, end: lineSpan(snapshot, 0).end },
      `it has ${text.length} characters and ${LIMITS.textLength} are read: split it into a sheet for each job`,
    );
  }
  let linkTargets = 0;
  for (let line = 0; line < lineStarts.length; line++) {
    const span = lineSpan(snapshot, line);
    if (span.end - span.start > LIMITS.lineLength) {
      return tooLarge(
        head(span),
        `line ${line + 1} has ${span.end - span.start} characters and ${LIMITS.lineLength} are read: break the line`,
      );
    }
    const start = measureStart(text, span);
    if (start.containers > LIMITS.containers) {
      return tooLarge(
        head(span),
        `line ${line + 1} begins with more than ${LIMITS.containers} list or quote marks: take some away`,
      );
    }
    if (start.indent > LIMITS.indent) {
      return tooLarge(
        head(span),
        `line ${line + 1} is indented by more than ${LIMITS.indent} columns: move it to the left`,
      );
    }
    for (let at = text.indexOf('](', span.start); at >= 0 && at < span.end; at = text.indexOf('](', at + 2)) {
      if (++linkTargets > LIMITS.linkTargets) {
        return tooLarge(
          { start: at, end: at + 2 },
          `it has more than ${LIMITS.linkTargets} links: split it into several sheets`,
        );
      }
    }
  }
  return undefined;
}

/** The problem of a front matter that is too long to be read; the sheet under it is not read either. */
export function findFrontMatterLimit(snapshot: Snapshot, span: Span): WritingProblem | undefined {
  if (span.end - span.start <= LIMITS.frontMatter) return undefined;
  return tooLarge(
    lineSpan(snapshot, 0),
    `its front matter has ${span.end - span.start} characters and ${LIMITS.frontMatter} are read: move the notes below it`,
  );
}

function tooLarge(span: Span, because: string): WritingProblem {
  return {
    kind: 'sheet-too-large',
    span,
    message: `The sheet was not checked because ${because}.`,
    offers: [],
  };
}

/** Enough of a line to see it; a finding that spans a very long line is one more thing that freezes an editor. */
function head(line: Span): Span {
  return { start: line.start, end: Math.min(line.end, line.start + 40) };
}

/**
 * The containers and the widest white space at the start of a line.
 *
 *     > - 12) a
 *     ^ ^ ^^^    three containers
 */
function measureStart(text: string, line: Span): { containers: number; indent: number } {
  let containers = 0;
  let indent = 0;
  let at = line.start;
  while (at < line.end) {
    let columns = 0;
    for (; at < line.end; at++) {
      const code = text.charCodeAt(at);
      if (code === 0x20) columns++;
      else if (code === 0x09) columns += 4 - (columns % 4);
      else break;
    }
    indent = Math.max(indent, columns);
    const length = markerLength(text, at, line.end);
    if (length === 0) break;
    containers++;
    at += length;
  }
  return { containers, indent };
}

/** The length of a quote mark, bullet or number that opens a container here, or 0. */
function markerLength(text: string, at: number, end: number): number {
  const first = text.charAt(at);
  if (at >= end) return 0;
  if (first === '>') return 1;
  let behind = at;
  if (first === '-' || first === '+' || first === '*') {
    behind = at + 1;
  } else {
    while (behind < end && behind - at < 9 && isDigit(text.charCodeAt(behind))) behind++;
    const delimiter = text.charAt(behind);
    if (behind === at || (delimiter !== '.' && delimiter !== ')')) return 0;
    behind++;
  }
  const next = behind < end ? text.charAt(behind) : ' ';
  return next === ' ' || next === '\t' ? behind - at : 0;
}

function isDigit(code: number): boolean {
  return code >= 0x30 && code <= 0x39;
}
