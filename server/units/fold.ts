/**
 * Owns how characters are folded before a value is read: minus signs, spaces, micro and ohm signs, full-width forms
 * and character references become one spelling each, and every folded character remembers where it stood.
 */

/** A folded stretch of text. Folded character `i` was written at `starts[i]` to `ends[i]` in the source. */
export interface Folded {
  readonly text: string;
  /** The source offset behind the first `length` folded characters. */
  readonly sourceEnd: (length: number) => number;
  /** The stretch was cut at the window's end; there is more text behind it. */
  readonly cut: boolean;
}

/** Spaces that join (no-break, thin, figure, ideographic) fold to this one, so that `10 000` can be told from two numbers. */
export const JOINING_SPACE = '\u00a0';

const folds: ReadonlyMap<string, string> = new Map([
  ...[...'\u2010\u2011\u2012\u2013\u2212\ufe63\uff0d'].map((c): [string, string] => [c, '-']),
  ...[...'\u00a0\u2007\u2008\u2009\u200a\u202f\u3000'].map((c): [string, string] => [c, JOINING_SPACE]),
  ...[...'\u2002\u2003\u2004\u2005\u2006\t\n\r'].map((c): [string, string] => [c, ' ']),
  ...[...'\u2248\u2243\u223c'].map((c): [string, string] => [c, '~']),
  ['\u03bc', '\u00b5'],
  ['\u2126', '\u03a9'],
  ['\u2264', '<'],
  ['\u2265', '>'],
  ['\u2103', '\u00b0C'],
  ['\u00ba', '\u00b0'],
]);

const references: ReadonlyMap<string, string> = new Map([
  ['micro', '\u00b5'],
  ['mu', '\u03bc'],
  ['Omega', '\u03a9'],
  ['ohm', '\u03a9'],
  ['nbsp', '\u00a0'],
  ['thinsp', '\u2009'],
  ['ensp', '\u2002'],
  ['emsp', '\u2003'],
  ['minus', '\u2212'],
  ['ndash', '\u2013'],
  ['plusmn', '\u00b1'],
  ['pm', '\u00b1'],
  ['frac12', '\u00bd'],
  ['half', '\u00bd'],
  ['frac14', '\u00bc'],
  ['frac34', '\u00be'],
  ['deg', '\u00b0'],
  ['lt', '<'],
  ['gt', '>'],
  ['le', '\u2264'],
  ['ge', '\u2265'],
  ['percnt', '%'],
  ['times', '\u00d7'],
  ['divide', '\u00f7'],
  ['plus', '+'],
  ['comma', ','],
  ['period', '.'],
  ['sol', '/'],
]);

/** UTF-8 read as Windows-1252, as it turns up beside numbers in old notes: two or three characters that were one. */
const mojibake: ReadonlyMap<string, string> = new Map([
  ['\u00c2\u00b5', '\u00b5'],
  ['\u00ce\u00bc', '\u00b5'],
  ['\u00ce\u00a9', '\u03a9'],
  ['\u00c2\u00b1', '\u00b1'],
  ['\u00c2\u00b0', '\u00b0'],
  ['\u00c2\u00bd', '\u00bd'],
  ['\u00c2\u00a0', JOINING_SPACE],
  ['\u00e2\u201e\u00a6', '\u03a9'],
]);

const REFERENCE = /&(?:#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6})|([a-zA-Z][a-zA-Z0-9]{1,9}));/y;
const PLAIN = /^[ -%'-~]*$/;

/** Fold at most `window` source units from `at`. */
export function foldFrom(text: string, at: number, window: number): Folded {
  const end = Math.min(text.length, at + window);
  const slice = text.slice(at, end);
  const cut = end < text.length;
  if (PLAIN.test(slice)) return { text: slice, sourceEnd: (length) => at + length, cut };
  let folded = '';
  const ends: number[] = [];
  for (let i = at; i < end; ) {
    const [meaning, length] = foldOne(text, i);
    folded += meaning;
    for (let k = 0; k < meaning.length; k++) ends.push(i + length);
    i += length;
  }
  return { text: folded, sourceEnd: (length) => (length === 0 ? at : (ends[length - 1] ?? end)), cut };
}

/** What the character at `i` means, and how many source units it takes. */
function foldOne(text: string, i: number): [string, number] {
  const char = text.charAt(i);
  if (char === '&') {
    REFERENCE.lastIndex = i;
    const match = REFERENCE.exec(text);
    const decoded = match === null ? undefined : decode(match);
    if (match !== null && decoded !== undefined) return [foldChar(decoded), match[0].length];
  }
  if (char === '\u00c2' || char === '\u00ce' || char === '\u00e2') {
    const two = mojibake.get(text.slice(i, i + 2));
    if (two !== undefined) return [two, 2];
    const three = mojibake.get(text.slice(i, i + 3));
    if (three !== undefined) return [three, 3];
  }
  return [foldChar(char), 1];
}

function foldChar(char: string): string {
  const code = char.charCodeAt(0);
  if (code < 0x80 && code >= 0x20) return char;
  const folded = folds.get(char);
  if (folded !== undefined) return folded;
  // The full-width forms stand in ASCII's order, 0xFEE0 above it.
  return code > 0xff00 && code < 0xff5f ? String.fromCharCode(code - 0xfee0) : char;
}

function decode(match: RegExpExecArray): string | undefined {
  const [, decimal, hex, name] = match;
  if (name !== undefined) return references.get(name);
  const code = decimal === undefined ? Number.parseInt(hex ?? '', 16) : Number(decimal);
  return code > 0 && code < 0xd800 ? String.fromCharCode(code) : undefined;
}
