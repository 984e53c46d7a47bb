/**
 * Owns noticing lines of running text that would read as a tag if they were marked as one: readings and parts without the mark of a
 * list or braces are only words, and nobody would see it.
 */
import type { Span } from '../text/span.ts';
import { withCapitals } from './small-letters.ts';
import { opensTag, readItem, readTag } from './tag.ts';
import type { Tag, WritingProblem } from './tree.ts';

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
  let from = span.start;
  for (const line of text.slice(span.start, span.end).split(/\r\n|\n|\r/)) {
    const start = from + (/^[ \t]*/.exec(line)?.[0].length ?? 0);
    const end = from + line.trimEnd().length;
    const isFirst = from === span.start;
    from += line.length + (text.startsWith('\r\n', from + line.length) ? 2 : 1);
    if (end - start > LONGEST || !/\d.*\d/.test(line) || !OPENS.test(line)) continue;
    // Whole in one stretch of plain text: code, links and tags are not.
    if (!prose.some((each) => each.start <= start && end <= each.end)) continue;
    const problem = isItem && isFirst ? inSmallLetters(text, { start, end }) : inProse(text, { start, end });
    if (problem !== undefined) found.push(problem);
  }
  return found;
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
