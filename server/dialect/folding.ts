/**
 * Owns the folded text that the tag grammar reads: one space for any gap (a wrapped line and its quote prefix included),
 * one spelling for signs that have several, and the way back from each folded character to the text as it was typed.
 *
 *     typed    R17 =↵>   470Ω → 1k      (a soft line break inside a quote, and an arrow)
 *     folded   R17 = 470Ω -> 1k
 */
import type { Span } from '../text/span.ts';
import { isSpan } from './shifting.ts';

export interface Folded {
  /** What the grammar reads, from `from` on. */
  readonly text: string;
  readonly from: number;
  /** Whether it is the typed text where it stands, so that what is read in it has its places already. */
  readonly isInPlace: boolean;
  /** For each folded character the stretch of the typed text that it came from; absent where nothing was folded. */
  readonly places?: Places;
  /** Where the typed text begins and ends; an empty folded text points here. */
  readonly source: Span;
  readonly typed: string;
  /** Stretches of mojibake (UTF-8 read as something else) with what was surely meant. */
  readonly garbled: readonly Garbled[];
}

interface Places {
  readonly starts: readonly number[];
  readonly ends: readonly number[];
}

/** A stretch of mojibake, in typed offsets. */
interface Garbled {
  readonly span: Span;
  readonly meant: string;
}

/** Signs with several spellings. Micro and ohm signs stay: the value scanner knows them all. */
const SIGNS: Readonly<Record<string, string>> = {
  '→': '->',
  '⇒': '->',
  '⟶': '->',
  '➔': '->',
  '−': '-',
  '–': '-',
  '‐': '-',
  '‑': '-',
  '—': '-',
  '′': "'",
  '’': "'",
  '‘': "'",
  '″': '"',
  '“': '"',
  '”': '"',
  '：': ':',
  '，': ',',
  '（': '(',
  '）': ')',
  '＝': '=',
  '＋': '+',
  '～': '~',
  '≈': '~',
  '×': '*',
  '÷': '/',
};

const NAMED_REFERENCES: Readonly<Record<string, string>> = {
  amp: '&',
  apos: "'",
  deg: '°',
  divide: '/',
  frac12: '½',
  frac14: '¼',
  frac34: '¾',
  gt: '>',
  lt: '<',
  micro: 'µ',
  mdash: '-',
  minus: '-',
  mu: 'μ',
  nbsp: ' ',
  ndash: '-',
  ohm: 'Ω',
  Omega: 'Ω',
  plus: '+',
  plusmn: '±',
  quot: '"',
  rArr: '->',
  rarr: '->',
  times: '*',
};

/** UTF-8 shown as Windows-1252 or Latin-1, longest first. */
const MOJIBAKE: readonly (readonly [string, string])[] = [
  ['Ã‚Âµ', 'µ'],
  ['Ã‚Â°', '°'],
  ['Ã‚Â±', '±'],
  ['â„¦', 'Ω'],
  ['âˆ’', '-'],
  ['â€“', '-'],
  ['â€”', '-'],
  ['â†’', '->'],
  ['Âµ', 'µ'],
  ['Â°', '°'],
  ['Â±', '±'],
  ['Â½', '½'],
  ['Î©', 'Ω'],
  ['Î¼', 'μ'],
  ['Â\u00a0', ' '],
];

const GAP = /[\s\u00a0\u200b\u2060\ufeff]/;
/** A line ending, then indentation and the marks of quotes: all of it is one gap. */
const LINE_PREFIX = /(?:\r\n|\r|\n)[ \t]*(?:>[ \t]?)*/y;
const REFERENCE = /&(?:#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6})|([A-Za-z][A-Za-z0-9]{1,30}));/y;
const ESCAPE = /\\([!-/:-@[-`{-~])/y;

/** Where none of this stands, the folded text is the typed one: so are most tags and cells. */
const FOLDABLE = /[^ -~]|[&\\]| {2}|=>|\*\*|__/;

/** The same, and brackets, which the readers of tags blank out before they read. */
const REWRITTEN = /[^ -~]|[&\\(]| {2}|=>|\*\*|__/;
const WORD_CHARACTER = /[\p{L}\p{N}_]/u;

/**
 * As `fold`, but where nothing is written anew the typed text itself is given, up to the end of the stretch. Behind a letter or
 * digit it is not, because there no part or point begins.
 */
export function foldInPlace(typed: string, source: Span): Folded {
  const own = typed.slice(source.start, source.end);
  if (REWRITTEN.test(own) || WORD_CHARACTER.test(typed.charAt(source.start - 1)))
    return fold(typed, source, true);
  const text = typed.slice(0, source.end);
  return { text, from: source.start, isInPlace: true, places: undefined, source, typed, garbled: NONE };
}

const NONE: readonly Garbled[] = [];

/** Folds `typed[span]`. In an item or a cell Markdown still holds, so strong emphasis marks and escapes vanish. */
export function fold(typed: string, source: Span, markdown: boolean): Folded {
  const plain = typed.slice(source.start, source.end);
  if (!FOLDABLE.test(plain))
    return { text: plain, from: 0, isInPlace: false, places: undefined, source, typed, garbled: NONE };
  const parts: string[] = [];
  const starts: number[] = [];
  const ends: number[] = [];
  const garbled: Garbled[] = [];
  const put = (text: string, start: number, end: number): void => {
    parts.push(text);
    for (let i = 0; i < text.length; i++) {
      starts.push(start);
      ends.push(end);
    }
  };
  let at = source.start;
  while (at < source.end) {
    const from = at;
    const sign = typed[at] ?? '';
    if (GAP.test(sign)) {
      at = endOfGap(typed, at, source.end);
      put(isJoining(typed, from, at) ? '\u00a0' : ' ', from, at);
      continue;
    }
    const wrong = MOJIBAKE.find(([shown]) => typed.startsWith(shown, at) && at + shown.length <= source.end);
    if (wrong !== undefined) {
      at += wrong[0].length;
      if (isBesideNumber(typed, from, at)) garbled.push({ span: { start: from, end: at }, meant: wrong[1] });
      put(wrong[1], from, at);
      continue;
    }
    const named = sign === '&' ? characterReference(typed, at, source.end) : undefined;
    if (named !== undefined) {
      at = named.end;
      put(named.text, from, at);
      continue;
    }
    if (markdown && (typed.startsWith('**', at) || typed.startsWith('__', at)) && at + 2 <= source.end) {
      at += 2;
      continue;
    }
    ESCAPE.lastIndex = at;
    const escaped = sign === '\\' ? ESCAPE.exec(typed) : null;
    if (escaped !== null && at + 2 <= source.end) {
      at += 2;
      put(escaped[1] ?? '', from, at);
      continue;
    }
    if (sign === '=' && typed[at + 1] === '>' && at + 2 <= source.end) {
      at += 2;
      put('->', from, at);
      continue;
    }
    // A pair stays a pair, so that no span can begin between its halves.
    const code = typed.codePointAt(at) ?? 0;
    const length = code > 0xffff && at + 2 <= source.end ? 2 : 1;
    at += length;
    const folded = SIGNS[sign];
    if (folded !== undefined) put(folded, from, at);
    else if (length === 2) put(typed.slice(from, at), from, at);
    else put(sign, from, at);
  }
  return {
    text: parts.join(''),
    from: 0,
    isInPlace: false,
    places: { starts, ends },
    source,
    typed,
    garbled,
  };
}

/** A lone no-break or thin space between digits joins them (`10 000`), and the value scanner wants to know. */
function isJoining(typed: string, from: number, to: number): boolean {
  if (to !== from + 1 || !/[\u00a0\u2007\u2008\u2009\u202f]/.test(typed[from] ?? '')) return false;
  return /\d/.test(typed[from - 1] ?? '') && /\d/.test(typed[to] ?? '');
}

function endOfGap(typed: string, from: number, end: number): number {
  let at = from;
  while (at < end) {
    LINE_PREFIX.lastIndex = at;
    const prefix = LINE_PREFIX.exec(typed);
    if (prefix !== null) at = Math.min(end, at + prefix[0].length);
    else if (GAP.test(typed[at] ?? '')) at++;
    else break;
  }
  return at;
}

function characterReference(
  typed: string,
  at: number,
  end: number,
): { readonly text: string; readonly end: number } | undefined {
  REFERENCE.lastIndex = at;
  const found = REFERENCE.exec(typed);
  if (found === null || at + found[0].length > end) return undefined;
  const [all, decimal, hex, name] = found;
  if (name !== undefined) {
    const text = NAMED_REFERENCES[name];
    return text === undefined ? undefined : { text, end: at + all.length };
  }
  const code = decimal !== undefined ? Number.parseInt(decimal, 10) : Number.parseInt(hex ?? '', 16);
  if (code < 32 || code > 0xffff || (code >= 0xd800 && code <= 0xdfff)) return undefined;
  const character = String.fromCharCode(code);
  return { text: GAP.test(character) ? ' ' : (SIGNS[character] ?? character), end: at + all.length };
}

/** A digit within reach on the left (a prefix letter may stand between) or right behind. */
function isBesideNumber(typed: string, start: number, end: number): boolean {
  return (
    /\d\s?[a-zA-Z]{0,3}$/.test(typed.slice(Math.max(0, start - 5), start)) ||
    /^\d/.test(typed.slice(end, end + 1))
  );
}

/** The typed stretch of a folded one; an empty stretch points between its neighbours. */
function typedSpan({ places, source }: Folded, of: Span): Span {
  if (places === undefined) {
    const start = Math.min(source.start + of.start, source.end);
    return { start, end: Math.max(start, Math.min(source.start + of.end, source.end)) };
  }
  const start = places.starts[of.start] ?? source.end;
  return { start, end: of.end > of.start ? (places.ends[of.end - 1] ?? source.end) : start };
}

/**
 * The same tree with every span turned from folded into typed offsets, and every author's `spelling` from the typed
 * text. What the grammar makes is plain data, so this needs to know nothing but what a span looks like.
 */
export function unfold<T>(tree: T, folded: Folded): T {
  return folded.isInPlace ? tree : (turn(tree, folded) as T);
}

function turn(node: unknown, folded: Folded): unknown {
  if (Array.isArray(node)) return node.map((each) => turn(each, folded));
  if (typeof node !== 'object' || node === null) return node;
  if (isSpan(node)) return typedSpan(folded, node);
  const result: Record<string, unknown> = {};
  const tree = node as Readonly<Record<string, unknown>>;
  for (const key in tree) {
    const value = tree[key];
    result[key] = typeof value === 'object' && value !== null ? turn(value, folded) : value;
  }
  if (typeof result.spelling === 'string' && isSpan(result.span)) {
    result.spelling = folded.typed.slice(result.span.start, result.span.end);
  }
  return result;
}
