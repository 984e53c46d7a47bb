/**
 * Owns the reading of values: from the text at one offset to what was written there, in every notation the bench uses.
 * The scanner looks at a bounded window and never backtracks over it, so reading a sheet stays linear.
 */
import { span } from '../text/span.ts';
import { type Amount, type Place, scanAmount, WORD } from './amount.ts';
import { assemble, type Body, type Scanned } from './assemble.ts';
import { foldFrom } from './fold.ts';
import type { Expectation } from './notation.ts';
import { isDigit, lengthAt, matchAt } from './sticky.ts';
import { type Value, type WrittenValue, writtenAt } from './value.ts';

/** How far ahead a value is looked for: the longest spelling of a range with its words is well below it. */
const WINDOW = 96;

const OPEN = /(?:o\.?l\.?|open(?:[ -]circuit)?|o\/c|\u221e|infinit[ey])(?![A-Za-z0-9])/iy;
const SHORT = /(?:dead[ ])?(?:short(?:ed|[ -]circuit(?:ed)?)?|s\/c)(?![A-Za-z0-9])/iy;
const ABOUT =
  /(?:~|(?:about|approx(?:imately)?\.?|around|roughly|circa|ca\.?)(?=[ \u00a0\d.~+-]))[ \u00a0]*/iy;
const BELOW = /(?:<=?|(?:below|under|less than|at most)(?=[ \u00a0]))[ \u00a0]*/iy;
const ABOVE = /(?:>=?|(?:above|over|more than|at least)(?=[ \u00a0]))[ \u00a0]*/iy;
const SIGN = /(?:(\+\/-|\+-|\u00b1)[ \u00a0]*|([+-])|(minus|plus)[ \u00a0]+)/iy;

/** The value that starts exactly at `at`, as long as it goes; undefined if none starts there. */
export function scanValue(
  text: string,
  at: number,
  expected: Expectation,
): { end: number; written: WrittenValue } | undefined {
  // Most words of a note begin with a letter that no value begins with; they cost no more than this.
  const code = text.charCodeAt(at);
  if (Number.isNaN(code) || (isPlain(code) && !mayBegin(code))) return undefined;
  const folded = foldFrom(text, at, WINDOW);
  const first = folded.text.charCodeAt(0);
  if (Number.isNaN(first) || !mayBegin(first)) return undefined;
  const scanned = scanFolded(folded.text, expected);
  if (scanned === undefined) return undefined;
  const end =
    scanned.length >= WINDOW - 1 && folded.cut ? endOfRun(text, at) : folded.sourceEnd(scanned.length);
  return { end, written: finish(scanned, text.slice(at, end), at, end) };
}

/** A whole string as one value; anything left over makes it unread. Spaces around it do not count. */
export function readValue(text: string, expected: Expectation): WrittenValue {
  const start = text.length - text.trimStart().length;
  const stop = text.trimEnd().length;
  const scanned = scanValue(text, start, expected);
  if (scanned !== undefined && scanned.end === stop) return scanned.written;
  const to = Math.max(start, stop);
  return { kind: 'unread', spelling: text.slice(start, to), span: span(start, to) };
}

function finish(scanned: Scanned, spelling: string, start: number, end: number): WrittenValue {
  const where = span(start, end);
  switch (scanned.kind) {
    case 'value':
      return { kind: 'value', value: writtenAt(scanned.value, spelling, where) };
    case 'ambiguous':
      return {
        kind: 'ambiguous',
        because: scanned.because,
        meanings: scanned.meanings,
        spelling,
        span: where,
      };
    default:
      return { kind: scanned.kind, spelling, span: where };
  }
}

/** Whether a value can begin with this character: a digit, a sign, or the first letter of a word or code that leads one. */
function mayBegin(code: number): boolean {
  if (code >= 0x30 && code <= 0x39) return true;
  return FIRST.has(code);
}

const FIRST: ReadonlySet<number> = new Set(
  [...'.+-~<>\u00b1\u00bc\u00bd\u00be\u221e\u00b5aAcCrRbBuUlLoOmMpPsSiIdDkKn'].map((c) => c.charCodeAt(0)),
);

/** Whether a character is folded into itself. */
function isPlain(code: number): boolean {
  return code >= 0x20 && code < 0x7f && code !== 0x26;
}

/** Behind the run of letters, digits and points that begins at `at`. */
function endOfRun(text: string, at: number): number {
  let end = at;
  while (end < text.length && /[\w.,]/.test(text.charAt(end))) end++;
  return Math.max(end, Math.min(text.length, at + 1));
}

function scanFolded(text: string, expected: Expectation): Scanned | undefined {
  // Most values begin with a figure, and then none of the words before one need be looked for.
  const plain = isDigit(text, 0);
  const open = lengthFrom('oOiI\u221e', OPEN, text, 0);
  if (open > 0) return { kind: 'open', length: open };
  const short = lengthFrom('dDsS', SHORT, text, 0);
  if (short > 0) return { kind: 'short', length: short };

  let at = 0;
  let sureness: Value['sureness'] = 'exact';
  const about = plain ? 0 : lengthFrom('~aArRcC', ABOUT, text, at);
  if (about > 0) {
    sureness = 'about';
    at += about;
  }
  const below = plain ? 0 : lengthFrom('<bBuUlLaA', BELOW, text, at);
  const above = plain || below > 0 ? 0 : lengthFrom('>aAoOmM', ABOVE, text, at);
  if (below + above > 0) {
    sureness = below > 0 ? 'below' : 'above';
    at += below + above;
  }
  const sign = plain || isDigit(text, at) ? null : matchAt(SIGN, text, at);
  if (sign !== null) at += sign[0].length;
  const isNegative = sign?.[2] === '-' || sign?.[3]?.toLowerCase() === 'minus';

  const isAbove = sureness === 'above';
  const body = scanBody(text, at, { expected, isAbove });
  if (body === undefined || 'unread' in body) {
    return body === undefined ? undefined : { kind: 'unread', length: body.unread };
  }
  return assemble(text, body, {
    sureness: body.isAbout && sureness === 'exact' ? 'about' : sureness,
    factor: isNegative ? -1 : 1,
    signed: sign !== null && sign[1] === undefined,
    plusMinus: sign?.[1] !== undefined,
    expected,
  });
}

/** As `lengthAt`, of a pattern that begins with a character of `first`: a look at one spares most values the pattern. */
function lengthFrom(first: string, pattern: RegExp, text: string, at: number): number {
  return first.includes(text.charAt(at)) ? lengthAt(pattern, text, at) : 0;
}

function scanBody(text: string, at: number, place: Place): Body | { readonly unread: number } | undefined {
  const from = scanAmount(text, at, place);
  if (from === undefined || 'unread' in from) return from;
  const isAbout = from.isAbout;
  const alone: Body = { from, to: undefined, end: from.end, isAbout };
  if (text.charAt(from.end) !== '-' || !isDigit(text, from.end + 1)) {
    return from.units === undefined && isGluedBare(text, from.end) ? undefined : alone;
  }
  // A leading nought is a date's month or a winding's tap, not the end of a range.
  const to = scanAmount(text, from.end + 1, place);
  if (to === undefined || 'unread' in to) return from.units === undefined ? undefined : alone;
  if (text.charAt(to.end) === '-' && isDigit(text, to.end + 1)) return undefined;
  if (text.charAt(from.end + 1) === '0' && isDigit(text, from.end + 2)) return undefined;
  if (to.units === undefined && isGluedBare(text, to.end))
    return from.units === undefined ? undefined : alone;
  const unitOf = (amount: Amount) => amount.units?.[0]?.unit;
  if (from.units !== undefined && to.units !== undefined && unitOf(from) !== unitOf(to)) return alone;
  return { from, to, end: to.end, isAbout: isAbout || to.isAbout };
}

/** Whether what follows a bare number says that it is none: `12AX7`, `3-pin`, `1:2`, `2.a`. */
function isGluedBare(text: string, at: number): boolean {
  const next = text.codePointAt(at);
  if (next === undefined) return false;
  if (WORD.test(String.fromCodePoint(next))) return true;
  const joins = next === 0x2d || next === 0x3a || next === 0x2e;
  if (!joins) return false;
  const after = text.charAt(at + 1);
  return next === 0x2d ? /[A-Za-z]/.test(after) : /[A-Za-z0-9]/.test(after);
}
