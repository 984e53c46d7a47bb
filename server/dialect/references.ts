/**
 * Owns the reading of reference designators: one (`R17`, `C5A`, `V1-A`) and lists of them (`V5, V6`, `C40,45,46`,
 * `D1-D4`, `C40 + C41`). A ref is written in capitals; a section letter may be small.
 */
import type { Span } from '../text/span.ts';
import { isDigit } from '../units/sticky.ts';
import { skipSpace } from './gaps.ts';
import { canStandAlone, findPartClass } from './letters.ts';
import type { Ref } from './tree.ts';

export interface ScannedRef {
  readonly ref: Ref;
  readonly end: number;
}

export interface ScannedRefs {
  readonly refs: readonly Ref[];
  /** `C40 + C41`. */
  readonly series: boolean;
  readonly end: number;
}

/** No ref has more letters or digits. */
const MOST_LETTERS = 3;
const MOST_DIGITS = 4;
const TOUCHING = /[\p{L}\p{N}_]/u;

/** No list says more parts than this at once; a longer range is a slip of the pen. */
const LONGEST_RANGE = 200;

/**
 * The ref that begins exactly at `at` and touches no letter or digit on either side; undefined if there is none.
 * In arithmetic (`hyphenSection` false) `V1-A` is no section.
 */
export function scanRef(text: string, at: number, hyphenSection = true): ScannedRef | undefined {
  // Most words are none, and cost no more than a look at their first letter.
  if (!isCapital(text, at) || (at > 0 && isTouching(text, at - 1))) return undefined;
  let behindLetters = at + 1;
  while (behindLetters < at + MOST_LETTERS && isCapital(text, behindLetters)) behindLetters++;
  const letters = text.slice(at, behindLetters);
  const partClass = findPartClass(letters);
  if (partClass === undefined) return undefined;
  let end = behindLetters;
  while (end < behindLetters + MOST_DIGITS && isDigit(text, end)) end++;
  const hasNumber = end > behindLetters;
  const letter = sectionAt(text, end);
  const hyphened = letter === undefined && text.charAt(end) === '-' ? sectionAt(text, end + 1) : undefined;
  const isHyphened = hyphened !== undefined && hyphened >= 'A' && hyphened <= 'F';
  if (!hasNumber && (!canStandAlone(letters) || letter !== undefined || isHyphened)) return undefined;
  const whole = text.slice(at, end);
  let section: string | undefined;
  if (letter !== undefined) {
    section = letter.toUpperCase();
    end += 1;
  } else if (isHyphened && hyphenSection) {
    section = hyphened;
    end += 2;
  } else if (!isHyphened && hasNumber && text.charAt(end) === "'") {
    // European sheets print the second system of a twin with a prime.
    section = "'";
    end += 1;
  }
  if (isTouching(text, end)) return undefined;
  const span: Span = { start: at, end };
  const name = whole + (section ?? '');
  return { ref: { kind: 'ref', name, whole, section, class: partClass, span }, end };
}

function isCapital(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code >= 0x41 && code <= 0x5a;
}

/** A letter that no other letter or digit follows: `A` of `V1A`. */
function sectionAt(text: string, at: number): string | undefined {
  const letter = text.charAt(at);
  return /[A-Fa-f]/.test(letter) && !/[A-Za-z0-9]/.test(text.charAt(at + 1)) ? letter : undefined;
}

function isTouching(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  // What stands beside a ref is most often a space or a sign.
  if (Number.isNaN(code) || code < 0x30) return false;
  return TOUCHING.test(text.charAt(at));
}

const SEPARATOR = /\s*(?:,|&|\/)\s*(?:and\s+|&\s*)?|\s+(?:and|&)\s+|\s+(?=[A-Z]{1,3}\d)/y;
const SERIES = /\s*\+\s*/y;
const RANGE = /\s*(?:-|\.\.\.?|\s(?:to|thru|through)\s)\s*/y;
/** A number that carries no unit. */
const BARE =
  /(\d{1,4})([A-Fa-f])?(?![\p{L}\p{N}_'%]|\.\d|\s?(?:[kKMmunpµμ]?(?:R|Ω|Ω|ohms?|V|A|F|W|Hz|H|rms|pp)|[kKM])(?!\p{L}))/uy;

/**
 * One ref or several. A bare number after a ref takes its letters (`R40, 45, 46, and 39`), if no unit follows it.
 * A range runs upwards within one class (`D1-D4`); `R4 to R31` is read as one only where `ranges` says so, because in a
 * connection `to` parts the ends.
 */
export function scanRefList(text: string, at: number, wordRanges = false): ScannedRefs | undefined {
  const first = scanRef(text, at);
  if (first === undefined) return undefined;
  const refs: Ref[] = [first.ref];
  let end = first.end;
  let series = false;
  for (;;) {
    // Before a sign or at the end there is no other.
    const next = text.charAt(skipSpace(text, end));
    if (next === '' || next === '=' || next === ':') break;
    const last = refs[refs.length - 1] ?? first.ref;
    const range = scanRange(text, end, last, wordRanges);
    if (range !== undefined) {
      refs.push(...range.refs);
      end = range.end;
      continue;
    }
    SERIES.lastIndex = end;
    const plus = SERIES.exec(text);
    if (plus !== null && (series || refs.length === 1)) {
      const from = end + plus[0].length;
      const other = scanRef(text, from) ?? scanBare(text, from, last);
      if (other !== undefined && other.ref.class === last.class) {
        series = true;
        refs.push(other.ref);
        end = other.end;
        continue;
      }
    }
    if (series) break;
    SEPARATOR.lastIndex = end;
    const separator = SEPARATOR.exec(text);
    if (separator === null) break;
    const from = end + separator[0].length;
    const other =
      scanRef(text, from) ?? (/[,&d]/.test(separator[0]) ? scanBare(text, from, last) : undefined);
    if (other === undefined) break;
    refs.push(other.ref);
    end = other.end;
  }
  return { refs, series, end };
}

/** `-D4` behind `D1`: the parts after the first, upwards and of one class. */
function scanRange(
  text: string,
  at: number,
  from: Ref,
  wordRanges: boolean,
): { readonly refs: readonly Ref[]; readonly end: number } | undefined {
  if (from.section !== undefined) return undefined;
  RANGE.lastIndex = at;
  const sign = RANGE.exec(text);
  if (sign === null || (!wordRanges && /[a-z]/.test(sign[0]))) return undefined;
  const behind = at + sign[0].length;
  const letters = from.name.replace(/\d+$/, '');
  const last = scanRef(text, behind) ?? (wordRanges ? undefined : scanBare(text, behind, from));
  if (last === undefined || last.ref.section !== undefined) return undefined;
  if (last.ref.name.replace(/\d+$/, '') !== letters) return undefined;
  const low = Number(from.name.slice(letters.length));
  const high = Number(last.ref.name.slice(letters.length));
  if (!(high > low) || high - low > LONGEST_RANGE) return undefined;
  const refs: Ref[] = [];
  for (let number = low + 1; number <= high; number++) {
    const name = `${letters}${number}`;
    // Parts that the range only implies are where the range stands.
    const span = number === high ? last.ref.span : { start: from.span.start, end: last.end };
    refs.push({ kind: 'ref', name, whole: name, section: undefined, class: from.class, span });
  }
  return { refs, end: last.end };
}

/** A number whose letters are those of the ref before it. */
function scanBare(text: string, at: number, like: Ref): ScannedRef | undefined {
  BARE.lastIndex = at;
  const found = BARE.exec(text);
  if (found === null) return undefined;
  const [all, digits = '', section] = found;
  const whole = like.whole.replace(/\d+$/, '') + digits;
  const end = at + all.length;
  const span: Span = { start: at, end };
  const letter = section?.toUpperCase();
  return {
    ref: { kind: 'ref', name: whole + (letter ?? ''), whole, section: letter, class: like.class, span },
    end,
  };
}
