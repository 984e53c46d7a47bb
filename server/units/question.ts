/**
 * Owns the words of a question: names, values and signs of `(B+1 - V1A.a) / R6`, with their spans. Every sequence that
 * makes no sense is refused here with its place, so that the parser behind it only ever sees operators and `q0`, `q1` …
 */
import { type Span, span } from '../text/span.ts';
import { foldFrom } from './fold.ts';
import { scanValue } from './scan.ts';
import type { Quantity } from './si.ts';
import { matchAt } from './sticky.ts';

export type QuestionToken =
  | { readonly kind: 'name'; readonly name: string; readonly span: Span }
  | { readonly kind: 'value'; readonly quantity: Quantity; readonly span: Span }
  | { readonly kind: 'function'; readonly name: string; readonly span: Span }
  | { readonly kind: 'sign'; readonly sign: Sign; readonly span: Span };

export type Sign = '+' | '-' | '*' | '/' | '^' | '||' | '(' | ')' | ',';

export interface QuestionRefusal {
  readonly ok: false;
  readonly reason: string;
  readonly span: Span;
}

const FUNCTIONS = ['sqrt', 'abs', 'min', 'max', 'log10'] as const;

/** Longer than any question that is asked at a bench. */
const MAX_LENGTH = 400;
const MAX_NESTING = 32;

/** A rail with touching digits is one name: `B+1`; B plus one is `B+ + 1`. */
const RAIL = /(?:[Bb][+-]\d*|HT\+?\d*)(?![A-Za-z0-9.])/y;
const NAME = /[A-Za-z_][A-Za-z0-9_]*(?:['\u2032])*(?:\.[A-Za-z0-9]+)?/y;
const NUMBER = /(?:\d+(?:,\d+)*(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+(?![A-Za-z\u00b5\u03a9]))?/y;
const SIGN = /\|\||\/\/|\*\*|[-+*/^(),\u00d7\u00f7\u22c5\u00b7\u2225]/y;
const AFTER_NUMBER = /[-+*/^()|\u03c0\u00d7\u00f7\u22c5\u00b7\u2225,]/;

const signs: ReadonlyMap<string, Sign> = new Map([
  ['\u00d7', '*'],
  ['\u22c5', '*'],
  ['\u00b7', '*'],
  ['\u00f7', '/'],
  ['//', '||'],
  ['\u2225', '||'],
  ['**', '^'],
]);

export interface QuestionWords {
  readonly ok: true;
  readonly tokens: readonly QuestionToken[];
  /** The question with its characters folded and its spaces collapsed. */
  readonly formula: string;
}

/** Read the words of a question, or say what is wrong with it and where. */
export function readQuestion(text: string): QuestionWords | QuestionRefusal {
  const whole = span(0, text.length);
  if (text.length > MAX_LENGTH) return refuse(`the question is longer than ${MAX_LENGTH} characters`, whole);
  const folded = foldFrom(text, 0, MAX_LENGTH);
  const place = (from: number, to: number) => span(folded.sourceEnd(from), folded.sourceEnd(to));
  const source = folded.text;
  const tokens: QuestionToken[] = [];
  const nest: { readonly isFunction: boolean; readonly span: Span }[] = [];
  for (let at = 0; at < source.length; ) {
    if (/\s/.test(source.charAt(at))) {
      at++;
      continue;
    }
    const read = readToken(source, at, nest);
    const where = place(at, at + Math.max(1, read.length));
    if ('refused' in read) return refuse(read.refused, where);
    const token: QuestionToken = { ...read.token, span: where };
    const previous = tokens.at(-1);
    const misplaced = findMisplaced(previous, token);
    if (misplaced !== undefined) return refuse(misplaced, where);
    if (token.kind === 'sign' && token.sign === '(') {
      nest.push({ isFunction: previous?.kind === 'function', span: where });
      if (nest.length > MAX_NESTING) return refuse(`brackets are nested deeper than ${MAX_NESTING}`, where);
    }
    if (token.kind === 'sign' && token.sign === ')' && nest.pop() === undefined) {
      return refuse('this bracket was never opened', where);
    }
    if (token.kind === 'sign' && token.sign === ',' && nest.at(-1)?.isFunction !== true) {
      return refuse('a comma belongs between the values of min( ) or max( )', where);
    }
    tokens.push(token);
    at += read.length;
  }
  const last = tokens.at(-1);
  if (last === undefined) return refuse('the question is empty', whole);
  if (!endsOperand(last)) return refuse(`something is missing after ${nameOf(last)}`, last.span);
  const open = nest.at(-1);
  if (open !== undefined) return refuse('this bracket is not closed', open.span);
  return { ok: true, tokens, formula: source.replace(/\s+/g, ' ').trim() };
}

type ReadToken =
  | { readonly length: number; readonly token: DistributiveOmitSpan<QuestionToken> }
  | { readonly length: number; readonly refused: string };
type DistributiveOmitSpan<T> = T extends unknown ? Omit<T, 'span'> : never;

function readToken(source: string, at: number, nest: readonly { readonly isFunction: boolean }[]): ReadToken {
  if (/[\d.]/.test(source.charAt(at))) return readNumber(source, at, nest.at(-1)?.isFunction === true);
  const rail = matchAt(RAIL, source, at)?.[0];
  const name = matchAt(NAME, source, at)?.[0];
  const longest = (rail?.length ?? 0) >= (name?.length ?? 0) ? rail : name;
  if (longest !== undefined) {
    const { length } = longest;
    const isCalled = /^\s*\(/.test(source.slice(at + length, at + length + 8));
    if (!isCalled) return { length, token: { kind: 'name', name: longest } };
    const called = FUNCTIONS.find((known) => known === longest.toLowerCase());
    if (called !== undefined) return { length, token: { kind: 'function', name: called } };
    return {
      length,
      refused: `${longest} is not a function here (${FUNCTIONS.join(', ')} are), and multiplication is written with *`,
    };
  }
  if (source.charAt(at) === '\u03c0') return { length: 1, token: { kind: 'name', name: 'pi' } };
  const sign = matchAt(SIGN, source, at)?.[0];
  if (sign !== undefined) {
    return { length: sign.length, token: { kind: 'sign', sign: signs.get(sign) ?? (sign as Sign) } };
  }
  const char = String.fromCodePoint(source.codePointAt(at) ?? 0);
  return { length: char.length, refused: `${char} has no meaning in a question` };
}

/** A number with its unit. A hyphen behind it is always minus, so the value is read up to the next sign and no further. */
function readNumber(source: string, at: number, inFunction: boolean): ReadToken {
  const number = matchAt(NUMBER, source, at)?.[0];
  if (number === undefined) return { length: 1, refused: 'a point without a number' };
  if (inFunction && number.includes(',')) {
    return {
      length: number.length,
      refused:
        'a decimal comma or the next value? Write a point in a number and a space after a comma between two',
    };
  }
  let stop = at + number.length;
  while (stop < source.length && !AFTER_NUMBER.test(source.charAt(stop))) stop++;
  const piece = source.slice(0, stop);
  const scanned =
    scanValue(piece, at, { bareUnit: '1' }) ??
    scanValue(piece, at, { bareUnit: '1', partClass: 'capacitor' });
  const length = Math.max(number.length, (scanned?.end ?? at) - at);
  const written = scanned?.written;
  switch (written?.kind) {
    case 'value':
      return { length, token: { kind: 'value', quantity: written.value.quantity } };
    case 'ambiguous':
      return {
        length,
        refused: `${written.spelling} is ${written.meanings.map((m) => m.saying).join(' or ')}: ${written.because}`,
      };
    default:
      return { length, refused: `${source.slice(at, at + length)} is not a value that can be read` };
  }
}

function endsOperand(token: QuestionToken): boolean {
  return token.kind === 'name' || token.kind === 'value' || (token.kind === 'sign' && token.sign === ')');
}

/** Why a token cannot stand behind the one before it. */
function findMisplaced(previous: QuestionToken | undefined, token: QuestionToken): string | undefined {
  const afterOperand = previous !== undefined && endsOperand(previous);
  const opens = token.kind !== 'sign' || token.sign === '(';
  if (opens) {
    if (previous?.kind === 'function') return undefined;
    return afterOperand ? `a sign is missing before ${nameOf(token)} (multiplication is written)` : undefined;
  }
  if (afterOperand) return undefined;
  const isPrefix = token.sign === '-' || token.sign === '+';
  const doubled = previous?.kind === 'sign' && (previous.sign === '-' || previous.sign === '+');
  if (isPrefix && !doubled) return undefined;
  return `something is missing before ${nameOf(token)}`;
}

function nameOf(token: QuestionToken): string {
  switch (token.kind) {
    case 'name':
    case 'function':
      return token.name;
    case 'value':
      return 'the number';
    default:
      return token.sign;
  }
}

function refuse(reason: string, where: Span): QuestionRefusal {
  return { ok: false, reason, span: where };
}
