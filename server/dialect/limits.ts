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
  /** Runs of `*`, `_` or `~` in one paragraph: each that closes is held against all that stand open. */
  emphasis: 1000,
  /** The same in lines with pipes, which are rather a table's, where a cell is a paragraph of its own. */
  emphasisBesidePipes: 6000,
  /** In one paragraph, what may run to its end in vain (`](`, `<!`, `<?`) times its characters: steps of the parser. */
  vainSteps: 4_000_000,
  vainStepsBesidePipes: 40_000_000,
  frontMatter: 64 * 1024,
} as const;

/** What of a text is counted as a whole, for the next reading of it. */
export interface Measured {
  readonly problem?: WritingProblem;
  readonly linkTargets: number;
}

/** The first limit that a text passes, as the one problem that is told of it. */
export function measure(snapshot: Snapshot): Measured {
  const tooLong = findLengthLimit(snapshot);
  if (tooLong !== undefined) return { problem: tooLong, linkTargets: 0 };
  return measureLines(snapshot, 0, snapshot.lineStarts.length, 0);
}

/** As `measure`, where all lines of `before` but some are those of a text that passed no limit. */
export function measureAgain(
  snapshot: Snapshot,
  lines: { readonly from: number; readonly to: number },
  before: { readonly snapshot: Snapshot; readonly linkTargets: number },
): Measured {
  const tooLong = findLengthLimit(snapshot);
  if (tooLong !== undefined) return { problem: tooLong, linkTargets: 0 };
  // A paragraph is counted from its first line to its last.
  let { from, to } = lines;
  while (from > 0 && !opensBlock(snapshot, from)) from--;
  while (to < snapshot.lineStarts.length && !opensBlock(snapshot, to)) to++;
  const toBefore = to + before.snapshot.lineStarts.length - snapshot.lineStarts.length;
  const was = measureLines(before.snapshot, from, toBefore, 0).linkTargets;
  const again = measureLines(snapshot, from, to, before.linkTargets - was);
  // Which limit is passed first is told by reading from the beginning.
  return again.problem === undefined ? again : measure(snapshot);
}

function opensBlock(snapshot: Snapshot, line: number): boolean {
  return measureStart(snapshot.text, lineSpan(snapshot, line)).opensBlock;
}

function findLengthLimit(snapshot: Snapshot): WritingProblem | undefined {
  const { text } = snapshot;
  if (text.length <= LIMITS.textLength) return undefined;
  return tooLarge(
    { start: 0, end: lineSpan(snapshot, 0).end },
    `it has ${text.length} characters and ${LIMITS.textLength} are read: split it into a sheet for each job`,
  );
}

function measureLines(snapshot: Snapshot, from: number, to: number, linkTargetsElsewhere: number): Measured {
  let linkTargets = linkTargetsElsewhere;
  const problem = findLineLimit(snapshot, from, to, (more) => {
    linkTargets += more;
    return linkTargets;
  });
  return { ...(problem === undefined ? {} : { problem }), linkTargets };
}

function findLineLimit(
  snapshot: Snapshot,
  from: number,
  to: number,
  countTargets: (more: number) => number,
): WritingProblem | undefined {
  const { text } = snapshot;
  let emphasis = 0;
  let hasPipes = false;
  let openings = 0;
  let length = 0;
  for (let line = from; line < to; line++) {
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
    if (start.opensBlock) {
      emphasis = 0;
      hasPipes = false;
      openings = 0;
      length = 0;
    }
    const inLine = countIn(text, { start: start.contentStart, end: span.end });
    if (countTargets(inLine.linkTargets) > LIMITS.linkTargets) {
      return tooLarge(
        head(span),
        `it has more than ${LIMITS.linkTargets} links: split it into several sheets`,
      );
    }
    emphasis += inLine.emphasis;
    hasPipes ||= inLine.hasPipe;
    if (emphasis > (hasPipes ? LIMITS.emphasisBesidePipes : LIMITS.emphasis)) {
      return tooLarge(
        head(span),
        `the paragraph at line ${line + 1} has more than ${LIMITS.emphasis} marks of emphasis: part it by an empty line`,
      );
    }
    openings += inLine.linkTargets + inLine.markup;
    length += span.end - start.contentStart;
    if (openings * length > (hasPipes ? LIMITS.vainStepsBesidePipes : LIMITS.vainSteps)) {
      return tooLarge(
        head(span),
        `the paragraph at line ${line + 1} has ${openings} links and comments in ${length} characters: part it by an empty line`,
      );
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

interface LineStart {
  readonly containers: number;
  readonly indent: number;
  readonly contentStart: number;
  /** A blank line, a heading or a list item ends the paragraph before it; a quote mark may go on with it. */
  readonly opensBlock: boolean;
}

/**
 * The containers and the widest white space at the start of a line.
 *
 *     > - 12) a
 *     ^ ^ ^^^    three containers
 */
function measureStart(text: string, line: Span): LineStart {
  let containers = 0;
  let indent = 0;
  let isItem = false;
  let at = line.start;
  while (at < line.end) {
    let columns = 0;
    for (; at < line.end; at++) {
      const code = text.charCodeAt(at);
      if (code === 0x20) columns++;
      else if (code === 0x09) columns += 4 - (columns % 4);
      else break;
    }
    if (columns > indent) indent = columns;
    const length = markerLength(text, at, line.end);
    if (length === 0) break;
    if (text.charCodeAt(at) !== 0x3e) isItem = true;
    containers++;
    at += length;
  }
  const opensBlock = isItem || at >= line.end || text.charCodeAt(at) === 0x23;
  return { containers, indent, contentStart: at, opensBlock };
}

interface LineCount {
  readonly linkTargets: number;
  readonly emphasis: number;
  /** `<!` and `<?`. */
  readonly markup: number;
  readonly hasPipe: boolean;
}

/** What of a line costs the parser more than its length. */
function countIn(text: string, line: Span): LineCount {
  let linkTargets = 0;
  let emphasis = 0;
  let markup = 0;
  let hasPipe = false;
  let before = 0;
  for (let at = line.start; at < line.end; at++) {
    const code = text.charCodeAt(at);
    if (code === 0x28 && before === 0x5d) linkTargets++;
    else if (code === 0x7c) hasPipe = true;
    else if ((code === 0x21 || code === 0x3f) && before === 0x3c) markup++;
    else if ((code === 0x2a || code === 0x7e) && code !== before) emphasis++;
    // Within a word an underscore marks nothing.
    else if (code === 0x5f && code !== before && !(isWord(before) && isWord(text.charCodeAt(at + 1))))
      emphasis++;
    before = code;
  }
  return { linkTargets, emphasis, markup, hasPipe };
}

function isWord(code: number): boolean {
  return isDigit(code) || (code >= 0x41 && code <= 0x5a) || (code >= 0x61 && code <= 0x7a);
}

/** The length of a quote mark, bullet or number that opens a container here, or 0. */
function markerLength(text: string, at: number, end: number): number {
  if (at >= end || text.charCodeAt(at) > 0x3e) return 0;
  const first = text.charAt(at);
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
