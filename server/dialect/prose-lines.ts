/**
 * Owns noticing lines of running text that would read as a tag if they were marked as one: readings and parts without the mark of a
 * list or braces are only words, and nobody would see it.
 */
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import { readLabel } from './label.ts';
import { scanPoint } from './points.ts';
import { withCapitals } from './small-letters.ts';
import { opensTag, readItem, readTag } from './tag.ts';
import type { Connection, Tag, WritingProblem } from './tree.ts';

/** A longer line is a sentence. */
const LONGEST = 160;
/** A sign somewhere, or a part or rail at the front, which may do without (`B+1 352 V, B+2 340 V`). */
const OPENS = /[:=]|->|→|^\s*(?:[A-Z]{1,3}\d|B\+|HT)/;

/**
 * The lines among `prose` that are beyond doubt meant to be read. The first line of a list item (`isItem`) is read as it stands, so
 * there only small letters can be why it was not.
 */
export function unmarkedLines(
  text: string,
  span: Span,
  prose: readonly Span[],
  isItem: boolean,
): readonly WritingProblem[] {
  const found: WritingProblem[] = [];
  const bare = isItem ? (withoutSign(text, span, prose) ?? unreadClaim(text, span, prose)) : undefined;
  if (bare !== undefined) found.push(bare);
  let from = span.start;
  for (const line of text.slice(span.start, span.end).split(/\r\n|\n|\r/)) {
    const start = from + (/^[ \t]*/.exec(line)?.[0].length ?? 0);
    const end = from + line.trimEnd().length;
    const isFirst = from === span.start;
    from += line.length + (text.startsWith('\r\n', from + line.length) ? 2 : 1);
    if (end - start > LONGEST || !/\d.*\d/.test(line)) continue;
    // Whole in one stretch of plain text: code, links and tags are not.
    if (!prose.some((each) => each.start <= start && end <= each.end)) continue;
    const line0 = { start, end };
    const read = !OPENS.test(line)
      ? undefined
      : isItem && isFirst
        ? inSmallLetters(text, line0)
        : inProse(text, line0);
    const problem = read ?? mainsAtFront(text, line0);
    if (problem !== undefined) found.push(problem);
  }
  return found;
}

const MAINS = /^mains\s+(?:at\s+)?\d{2,3}(?:\.\d)?(?:\s?V(?:ac|rms)?)?(?=\s*[,;])/i;

/** `mains 243, by the long lead`: words beside it keep the line from being read as conditions. */
function mainsAtFront(text: string, { start, end }: Span): WritingProblem | undefined {
  const written = MAINS.exec(text.slice(start, end))?.[0];
  if (written === undefined) return undefined;
  const span = { start, end: start + written.length };
  return {
    kind: 'line-in-prose',
    span,
    message: `“${written}” stands in running text, where it is only words, and holds for no reading: put it in braces to have it read`,
    offers: [{ saying: 'to be read', edit: { span, text: `{${written}}` } }],
  };
}

/** `V5 lifted: a 347, g2 336` between sentences. */
function inProse(text: string, { start, end }: Span): WritingProblem | undefined {
  const stop = /[.,;]?$/.exec(text.slice(start, end))?.[0].length ?? 0;
  const span = { start, end: end - stop };
  const read = readItem(text, span);
  if (read === undefined || read.problems.length > 0 || !isBeyondDoubt(read.tag)) return undefined;
  const written = text.slice(span.start, span.end);
  const braced = inBraces(written, read.tag.kind);
  return {
    kind: 'line-in-prose',
    span,
    message: `“${written}” stands in running text, where it is only words: put it in braces, or on a line that begins with “- ”, to have it read`,
    offers: braced === undefined ? [] : [{ saying: 'to be read', edit: { span, text: braced } }],
  };
}

/** The line in braces; where it begins with a condition that no brace opens on, that stands before them (`in play: {B+1: 352 V}`). */
function inBraces(written: string, kind: Tag['kind']): string | undefined {
  const colon = /^[^:]*:\s+/.exec(written)?.[0].length ?? 0;
  for (const from of colon === 0 ? [0] : [0, colon]) {
    const braced = `${written.slice(0, from)}{${written.slice(from)}}`;
    const inner = { start: from + 1, end: braced.length - 1 };
    if (!opensTag(braced, inner.start, inner.end)) continue;
    const { tag } = readTag(braced, inner, { start: from, end: braced.length }, 'braces');
    if (tag.kind === kind) return braced;
  }
  return undefined;
}

/** `v5: a 347, k 19.4, glows` in a list: in capitals it would be read. */
function inSmallLetters(text: string, span: Span): WritingProblem | undefined {
  const written = text.slice(span.start, span.end);
  const capitals = withCapitals(written);
  if (capitals === undefined || capitals.length !== written.length) return undefined;
  const read = readItem(capitals, { start: 0, end: capitals.length });
  if (read === undefined || !isBeyondDoubt(read.tag, true)) return undefined;
  return {
    kind: 'line-in-prose',
    span,
    message: `“${written}” is only words as it stands: refs are written in capitals`,
    offers: [{ saying: 'refs in capitals', edit: { span, text: capitals } }],
  };
}

/** An item's first line, without the stop at its end, where all of it is running text. */
function firstLine(
  text: string,
  { start, end: all }: Span,
  prose: readonly Span[],
): { readonly line: string; readonly span: Span } | undefined {
  const line = /^[^\r\n]*/.exec(text.slice(start, all))?.[0].replace(/[\s.;,]+$/, '') ?? '';
  const span = { start, end: start + line.length };
  return prose.some((each) => each.start <= start && span.end <= each.end) ? { line, span } : undefined;
}

/**
 * `R31 2k9`, `L1 OL`, `bias -41` or `D1: T1 to B+` in a list: a part or a point and what was read or is fitted there, with the sign
 * left out or the wrong one. Whether the amplifier has it the reader does not know, so the problem says what it is about.
 */
function withoutSign(text: string, item: Span, prose: readonly Span[]): WritingProblem | undefined {
  const found = firstLine(text, item, prose);
  if (found === undefined || found.line.length > LONGEST) return undefined;
  const { line, span } = found;
  const label = readLabel(line, 0);
  const point = scanPoint(line, 0);
  if (label === undefined || point === undefined) return undefined;
  if (point.point.kind === 'node' && point.point.name === 'mains') return undefined;
  // `V6 T1 to HT1` is one valve and where it sits, `R1, R2 2k9` two resistors.
  for (const end of new Set([label.end, point.end])) {
    const name = line.slice(0, end);
    const gap = /^\s*:\s*|^\s+/.exec(line.slice(end))?.[0] ?? '';
    const rest = line.slice(end + gap.length);
    if (gap === '' || rest === '') continue;
    const offers = (gap.includes(':') ? [' = '] : [': ', ' = ']).flatMap((sign) => {
      const kind = kindWithSign(`${name}${sign}${rest}`);
      if (kind === undefined) return [];
      const edit = { span: { start: span.start + end, end: span.start + end + gap.length }, text: sign };
      return [{ saying: SAYINGS[kind], edit }];
    });
    if (offers.length === 0) continue;
    const ways = offers.map(({ saying, edit }) => `“${name}${edit.text}${rest}” if ${saying}`);
    return {
      kind: 'line-in-prose',
      span,
      message: `“${line}” is only words as it stands, and nothing is made of it. Write ${ways.join(', ')}`,
      about: point.point.kind === 'terminal' ? point.point.ref.name : point.point.name,
      offers,
    };
  }
  return undefined;
}

/** More words than these are a sentence. */
const MOST_WORDS = 9;
const NAMED = /(?<![\p{L}\p{N}+.])(?:[A-Z]{1,3}\d{1,3}[A-Da-d]?|B\+\d{0,2}|HT\d{0,2})(?![\p{L}\p{N}+])/gu;
const VALUE =
  /(?<![\p{L}\p{N}.])[-+~<>]?\d+(?:[.,]\d+)?\s?(?:[kKMmunpµ]?(?:R|Ω|Ω|ohms?|V(?:dc|ac|pp|rms)?|v(?:dc|ac|pp|rms)?|m?A|F|W|H)|[kKMR]\d*|[unp])(?![\p{L}\p{N}])/u;
/** What such a line begins with, or the word in it that tells of a reading or of a new part. */
const CLAIM =
  /^(?:new|fitted|installed|volts|drop|ripple)\s|(?<![\p{L}\p{N}])(?:went|gone|drifted|reads|measures|measured|drops|leaky|leaking|across)(?![\p{L}\p{N}])/iu;
const UNREAD_SIGN = /^[^:=]{1,24}\s=\s*\S{0,24}\d|\d\S{0,24}\s{0,4}(?:->|→|⇒)\s*\S{0,24}\d/u;
const VALUE_AT = /^[-+~<>]?\d[\d.,]*\s?m?[Vv]?\s+(?:on|at)\s/u;
const OF_OLD =
  /(?<![\p{L}\p{N}])(?:ago|previous(?:ly)?|before|earlier|last|once|(?:19|20)\d\d)(?![\p{L}\p{N}])/iu;

/**
 * `R17 went high 680→1k2`, `fitted new C1 22uF/500V`, `C14 leaky, 3.4V on grid` in a list: a part and a number with the words of a
 * reading or of a new part, of which nothing was made. How it was meant is the writer's to say, so nothing is offered.
 */
function unreadClaim(text: string, item: Span, prose: readonly Span[]): WritingProblem | undefined {
  const found = firstLine(text, item, prose);
  if (found === undefined) return undefined;
  const { line, span } = found;
  if (line.split(/\s+/).length > MOST_WORDS || OF_OLD.test(line)) return undefined;
  const isClaim = UNREAD_SIGN.test(line) || VALUE_AT.test(line) || (CLAIM.test(line) && VALUE.test(line));
  if (!isClaim || readItem(text, span) !== undefined) return undefined;
  // The amplifier's own: `22uF/V5` holds no part, and the first that is named is the one that is told of.
  for (const named of line.matchAll(NAMED)) {
    const point = scanPoint(line, named.index)?.point;
    if (point === undefined) continue;
    const about = point.kind === 'terminal' ? point.ref.name : point.name;
    const ways = [`“${about}: …” for what was read`];
    if (point.kind !== 'node')
      ways.push(`“${about} = …” for what is fitted`, `“${about} -> …” for what is new`);
    return {
      kind: 'line-in-prose',
      span,
      message: `“${line}” is only words as it stands, and nothing is made of it. Begin with the part and its sign: ${ways.join(', ')}`,
      about,
      offers: [],
    };
  }
  return undefined;
}

const SAYINGS = { reading: 'it was read', state: 'it was found so', fitted: 'it is fitted' } as const;

/** What an item says that reads to its end, or to a comma, a dash or a bracket behind which a remark may stand; undefined if it says nothing of substance. */
function kindWithSign(written: string): keyof typeof SAYINGS | undefined {
  const read = readItem(written, { start: 0, end: written.length });
  if (read === undefined || read.problems.length > 0) return undefined;
  const tag = read.tag.kind === 'candidate' ? read.tag.tag : read.tag;
  const { remark } = tag;
  if (remark !== undefined && !/[,;(]\s*$|\s-\s*$/.test(written.slice(0, remark.span.start)))
    return undefined;
  switch (tag.kind) {
    case 'state':
      return tag.kind;
    case 'reading': {
      // What was read of a part says its size in a letter (`2k9`) or is none (`open`): `R7 2 of them` is a sentence.
      const isPlain = tag.items.every(
        ({ at, values }) => at.kind !== 'ref' || values.every((each) => isLettered(each, written)),
      );
      return isPlain && tag.type === undefined ? tag.kind : undefined;
    }
    case 'fitted': {
      const { specification, connections } = tag;
      const { values = [], kinds = [], type } = specification ?? {};
      if (kinds.length > 0 || !connections.every(isCertain)) return undefined;
      if (values.length + connections.length === 0 && (type === undefined || remark !== undefined))
        return undefined;
      return values.every((each) => isLettered(each, written)) ? tag.kind : undefined;
    }
    default:
      return undefined;
  }
}

function isLettered(value: WrittenValue, written: string): boolean {
  if (value.kind === 'ambiguous') return false;
  const { span } = value.kind === 'value' ? value.value : value;
  return /[\p{L}Ω]/u.test(written.slice(span.start, span.end));
}

/** No end of it is a plain word, as in `R7 goes to gnd`. */
function isCertain(connection: Connection): boolean {
  const points =
    connection.kind === 'ends'
      ? [...connection.from, ...connection.to]
      : connection.kind === 'terminal'
        ? [connection.to]
        : [];
  return points.every((point) => point.kind !== 'node' || point.nature !== 'free');
}

/** Two values or more, each with its unit or at an electrode; or a part with a sign and a value that says its unit. No words left over. */

function isBeyondDoubt(tag: Tag, withRemark = false): boolean {
  if (tag.remark !== undefined && !withRemark) return false;
  switch (tag.kind) {
    case 'reading':
      return (
        tag.items.flatMap(({ values }) => values).length >= 2 &&
        tag.items.every(
          ({ at, values }) =>
            at.kind === 'terminal' ||
            values.every((written) => written.kind === 'value' && written.value.unitWritten),
        )
      );
    case 'fitted':
    case 'change': {
      const said = tag.kind === 'fitted' ? tag.specification : 'values' in tag.is ? tag.is : undefined;
      const parts =
        (said?.values.length ?? 0) + (said?.ratings.length ?? 0) + (said?.type === undefined ? 0 : 1);
      return parts + tag.connections.length >= 2;
    }
    default:
      return false;
  }
}
