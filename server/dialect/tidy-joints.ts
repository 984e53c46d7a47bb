/**
 * Owns what stands between the pieces of a tag, in its normal form: one sign for each thing and one space where one
 * belongs. A line that is broken there stays broken where it was.
 */
import type { Piece } from './tidy-pieces.ts';
import { spellings } from './tidy-value.ts';
import type { Tag } from './tree.ts';

/** The pieces on both sides; none at the tag's beginning or end. */
export interface Sides {
  readonly before: Piece | undefined;
  readonly after: Piece | undefined;
}

type Space = 'none' | 'one' | 'kept';

interface Token {
  readonly kind:
    | 'arrow'
    | 'equals'
    | 'colon'
    | 'comma'
    | 'semicolon'
    | 'dash'
    | 'plus'
    | 'slash'
    | 'at'
    | 'word';
  readonly text: string;
}

const TOKENS: readonly (readonly [Exclude<Token['kind'], 'word'>, RegExp, string])[] = [
  ['arrow', /->|=>|[→⇒⟶➔]|&rarr;|&rArr;|[-=]&gt;/y, '->'],
  ['equals', /[=＝]/y, '='],
  ['colon', /[:：]/y, ':'],
  ['comma', /[,，]/y, ','],
  ['semicolon', /;/y, ';'],
  ['dash', /[-−–—‐‑]|&(?:ndash|mdash|minus);/y, '-'],
  ['plus', /[+＋]/y, '+'],
  ['slash', /\//y, '/'],
  ['at', /@/y, '@'],
];
/** A line ending with all the white space around it and the marks of quotes behind it. */
const GAP = /(?:[^\S\r\n]*(?:\r\n|\r|\n)[ \t]*(?:>[ \t]?)*)+|[\s\u00a0]+/y;
const WORD = /[\p{L}\p{N}_&]+|./uy;

/** The normal form of what stands between two pieces. */
export function tidyJoint(written: string, { before, after }: Sides, tag: Tag): string {
  const { tokens, gaps } = split(before?.role === 'read' ? tidyTestedAt(written) : written);
  // Nothing is sure about words that were not read; what stands around the author's own stays but for its signs.
  const meant = rewrite(tokens, { before, after }, tag) ?? tokens;
  const isTouched = meant !== tokens;
  const spaces = meant.map((token, i) => spacesOf(token, { before, after }, i === 0, i === meant.length - 1));
  let result = '';
  for (let i = 0; i <= meant.length; i++) {
    const gap = (isTouched ? gapOf(gaps, i, meant.length) : gaps[i]) ?? '';
    const edge = i === 0 && before === undefined ? 'none' : i === meant.length && after === undefined;
    const wanted: readonly Space[] = [
      spaces[i - 1]?.[1] ?? (meant.length === 0 ? between({ before, after }) : 'kept'),
      spaces[i]?.[0] ?? 'kept',
    ];
    if (/[\r\n]/.test(gap)) result += gap;
    else if (edge === 'none' || edge === true || wanted.includes('none')) result += '';
    else if (wanted.includes('one')) result += ' ';
    else result += gap === '' ? '' : ' ';
    result += meant[i]?.text ?? '';
  }
  return result;
}

/** The frequency or the volts at which something was read, which stand in no piece of their own. */
const TESTED_AT =
  /(?<![\p{L}\p{N}])(?:at|@)\s*(\d+(?:[.,]\d+)?\s?(?:[km]?hz|kc|v(?:olts?)?))(?![\p{L}\p{N}])/giu;

function tidyTestedAt(written: string): string {
  return written.replace(TESTED_AT, (_, value: string) => ` at ${spellings(value, 'read')[0] ?? value}`);
}

function split(written: string): { readonly tokens: readonly Token[]; readonly gaps: readonly string[] } {
  const tokens: Token[] = [];
  const gaps: string[] = [];
  let at = 0;
  const match = (pattern: RegExp): string | undefined => {
    pattern.lastIndex = at;
    return pattern.exec(written)?.[0];
  };
  for (;;) {
    const gap = match(GAP) ?? '';
    gaps.push(gap);
    at += gap.length;
    if (at >= written.length) return { tokens, gaps };
    const sign = TOKENS.find(([, pattern]) => match(pattern) !== undefined);
    const found = (sign === undefined ? match(WORD) : match(sign[1])) ?? written.charAt(at);
    tokens.push(sign === undefined ? { kind: 'word', text: found } : { kind: sign[0], text: sign[2] });
    at += found.length;
  }
}

/** The gap at a place of a rewritten joint: of all that it replaces, the line break if there is one. */
function gapOf(gaps: readonly string[], i: number, count: number): string | undefined {
  const broken = gaps.findIndex((gap) => /[\r\n]/.test(gap));
  if (broken < 0) return gaps[0] === undefined ? undefined : i === 0 ? gaps[0] : ' ';
  const place = broken === 0 ? 0 : count;
  return i === place ? gaps[broken] : '';
}

const SIGN = {
  colon: [{ kind: 'colon', text: ':' }],
  equals: [{ kind: 'equals', text: '=' }],
  arrow: [{ kind: 'arrow', text: '->' }],
  comma: [{ kind: 'comma', text: ',' }],
  none: [],
} as const satisfies Readonly<Record<string, readonly Token[]>>;

/** Other tokens that say the same in normal form; undefined where these are it. */
function rewrite(tokens: readonly Token[], { before, after }: Sides, tag: Tag): readonly Token[] | undefined {
  const said = tokens.map(({ kind, text }) => (kind === 'word' ? text.toLowerCase() : kind)).join(' ');
  const [from, to] = [before?.role, after?.role];
  const isReading = tag.kind === 'reading' || (tag.kind === 'candidate' && tag.tag.kind === 'reading');
  const isPart = to === 'fitted' || to === 'rating' || to === 'winding' || to === 'word';
  if (from === 'electrode' && to === 'read' && /^(?:colon|equals|word at)$/.test(said)) return SIGN.none;
  if (from === 'label' && isReading && (to === 'read' || to === 'electrode')) {
    if (/^(?:|equals|reads|measures|measured)$/.test(said)) return SIGN.colon;
  }
  if (from === 'label' && isPart && said === 'colon' && (tag.kind === 'change' || isColonForEquals(tag)))
    return SIGN.equals;
  if (from === 'label' && isPart && said === '' && tag.kind === 'change') return SIGN.equals;
  if (
    tag.kind === 'change' &&
    /^(?:comma )?(?:(?:was|is) )?(?:replaced|changed) (?:with|by|to|for)(?: an?)?$/.test(said)
  )
    return SIGN.arrow;
  if (from === 'label' && to === 'label' && /^(?:comma and|and|&|slash|semicolon)$/.test(said))
    return SIGN.comma;
  if (from === 'point' && to === 'point' && /^(?:and|&)$/.test(said)) return SIGN.none;
  if (to === 'point' && /(?:^|comma )(?:in parallel with|parallel to)$/.test(said)) {
    const across: Token = { kind: 'word', text: 'across' };
    return said.startsWith('comma') ? [...SIGN.comma, across] : [across];
  }
  const isNext = to === 'electrode' || to === 'label';
  if (from === 'read' && (isNext || to === 'read') && said === 'semicolon') return SIGN.comma;
  if (from === 'read' && isNext && /^(?:|and|comma and|slash)$/.test(said)) return SIGN.comma;
  // `was 100k, now 120k` is `100k -> 120k`.
  if (from === 'label' && to === 'read' && /^colon (?:was|used to be|from)$/.test(said)) return SIGN.colon;
  if (
    from === 'read' &&
    to === 'read' &&
    /^(?:to|(?:comma )?(?:and |is |it is )?now(?: is| reads)?)$/.test(said)
  )
    return SIGN.arrow;
  if (to === 'rating' && (from === 'fitted' || from === 'rating') && /^(?:at|slash|word at)$/.test(said))
    return SIGN.none;
  if (to === 'winding' && from === 'winding' && said === 'at') return SIGN.none;
  if (said === 'at' && from === 'read') return [{ kind: 'word', text: 'at' }];
  if (to === 'read' && /(?:^|comma )(?:esr|dcr)(?: colon| equals)?$/.test(said)) {
    const word = said.includes('esr') ? 'ESR' : 'DCR';
    const named: Token = { kind: 'word', text: word };
    return said.startsWith('comma') ? [...SIGN.comma, named] : [named];
  }
  const unit = said === 'mfd' || said.startsWith('mfd ') ? 'uF' : undefined;
  if (unit !== undefined && from === 'fitted') return [{ kind: 'word', text: unit }, ...tokens.slice(1)];
  return undefined;
}

function isColonForEquals(tag: Tag): boolean {
  return tag.kind === 'fitted' && tag.colonForEquals;
}

/** The space before and behind a token. */
function spacesOf(
  { kind, text }: Token,
  { before, after }: Sides,
  isFirst: boolean,
  isLast: boolean,
): readonly [Space, Space] {
  switch (kind) {
    case 'arrow':
    case 'equals':
      return ['one', 'one'];
    case 'colon':
      return before?.role === 'winding' && after?.role === 'winding' ? ['one', 'one'] : ['none', 'one'];
    case 'comma':
    case 'semicolon':
      return ['none', 'one'];
    case 'dash':
      if (isFirst && isLast && before?.role === 'label' && after?.role === 'label') return ['none', 'none'];
      return ['kept', 'kept'];
    case 'plus':
    case 'slash':
      if (!isFirst || !isLast) return ['kept', 'kept'];
      if (before?.role === 'read' || before?.role === 'label') return ['one', 'one'];
      return before?.role === 'fitted' && after?.role === 'fitted' ? ['none', 'none'] : ['kept', 'kept'];
    case 'at':
      return ['kept', 'kept'];
    case 'word':
      // A unit that stands for both numbers before it (`32+32uF`).
      if (text === 'uF' && isFirst && before?.role === 'fitted') return ['none', 'kept'];
      return text === 'ESR' || text === 'at' || text === 'across' ? ['one', 'one'] : ['kept', 'kept'];
  }
}

/** The space where nothing but space stands. */
function between({ before, after }: Sides): Space {
  if (before?.role === 'electrode' && after?.role === 'read') return 'one';
  if (before?.role === 'read' && (after?.role === 'electrode' || after?.role === 'read')) return 'one';
  if (after?.role === 'rating' && (before?.role === 'fitted' || before?.role === 'rating')) return 'one';
  return 'kept';
}
