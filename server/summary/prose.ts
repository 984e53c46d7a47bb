/**
 * Owns how the author's own words are put on a page: word for word, without Markdown's marks and tags' braces. Comments
 * and link targets are no words and stay in; nothing that stands in a note becomes a link, an image or markup.
 */
import type { Block, Passage, Table, Tag } from '../dialect/tree.ts';
import type { Section, Sheet, Topic } from '../sheet/model.ts';
import { lineAt } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { contains } from '../text/span.ts';
import { type Item, listOf, paragraph, type Block as Said, type Table as SaidTable } from './document.ts';
import type { Telling } from './telling.ts';

/** Space that means no more than one space; a no-break space is one that the author chose. */
const SPACES = /[ \t\r\n\f]+/g;

/** One section of a topic with what stands in it. */
export interface ToldSection {
  /** Of a deeper heading under the topic's own. */
  readonly heading?: string;
  readonly blocks: readonly Said[];
}

/** The sections of a topic that say anything, each deeper heading with its own text. */
export function topicSections(telling: Telling, topic: Topic): readonly ToldSection[] {
  let head = 0;
  return telling.sheet.sections
    .filter((section) => section.topic === topic)
    .map((section): ToldSection => {
      const isUnder = head > 0 && section.depth > head;
      if (!isUnder) head = section.depth;
      const blocks = sectionProse(telling, section);
      return isUnder ? { heading: section.heading, blocks } : { blocks };
    })
    .filter(({ blocks }) => blocks.length > 0);
}

/** All that is written under a topic; empty where nothing is. */
export function topicProse(telling: Telling, topic: Topic): readonly Said[] {
  return topicSections(telling, topic).flatMap(withHeading);
}

export function withHeading({ heading, blocks }: ToldSection): readonly Said[] {
  return heading === undefined ? blocks : [{ kind: 'heading', text: heading }, ...blocks];
}

/** The stretch of the sheet that a topic's sections stand in, its headings included. */
export function topicSpans(sheet: Sheet, topic: Topic): readonly Span[] {
  return sheet.sections
    .filter((section) => section.topic === topic)
    .map(({ headingSpan, bodySpan }) => ({ start: headingSpan.start, end: bodySpan.end }));
}

function sectionProse(telling: Telling, { bodySpan }: Section): readonly Said[] {
  const { sheet, places } = telling;
  const blocks = sheet.note.blocks.filter(({ span }) => contains(bodySpan, span));
  const said: Said[] = [];
  let items: Item[] = [];
  let isNumbered = false;
  const closeList = (): void => {
    if (items.length > 0) said.push(isNumbered ? listOf(items, 'numbered') : listOf(items));
    items = [];
  };
  for (const block of blocks) {
    if (block.kind === 'passage' && block.listDepth > 0) {
      const text = passageText(sheet, block);
      if (text === '') continue;
      if (block.container === 'item' && hasNumber(sheet, block) !== isNumbered) {
        closeList();
        isNumbered = !isNumbered;
      }
      items.push({ text, line: places.lineOf(block.span) });
      continue;
    }
    closeList();
    said.push(...blockProse(telling, block));
  }
  closeList();
  return said;
}

/** Whether a list item was written with a number before it. */
function hasNumber({ snapshot }: Sheet, { span }: Passage): boolean {
  const before = snapshot.text.slice(snapshot.lineStarts[lineAt(snapshot, span.start)], span.start);
  return /\d[.)][ \t]+(?:\[[ xX]\][ \t]+)?$/.test(before);
}

function blockProse(telling: Telling, block: Block): readonly Said[] {
  const { sheet, places } = telling;
  const line = places.lineOf(block.span);
  switch (block.kind) {
    case 'heading':
      return [];
    case 'table':
      return [tableProse(telling, block)];
    case 'opaque':
      return opaqueProse(sliceOf(sheet, block.span), line);
    case 'passage': {
      const said = passageText(sheet, block);
      return said === '' ? [] : [paragraph(said, undefined, line)];
    }
  }
}

/** A paragraph's words: plain text as it is, tags without their braces, code without ticks. */
export function passageText(
  sheet: Sheet,
  { span, prose, tags, images }: Passage,
  within: Span = span,
): string {
  const stretches = [
    ...prose.map((each) => ({ ...each, said: withoutEscapes(sliceOf(sheet, each)) })),
    ...tags.map((tag) => stretchOf(sheet, tag)),
    // A picture is not shown, and its stand-in words make no sense in the sentence.
    ...images.map((image) => ({ ...image.span, said: '' })),
  ]
    .filter(({ start }) => start >= within.start)
    .sort((a, b) => a.start - b.start || b.end - a.end);
  let said = '';
  let at = within.start;
  for (const { start, end, said: own } of stretches) {
    if (start < at || start >= within.end) continue;
    said += withoutMarks(sliceOf(sheet, { start: at, end: start })) + own;
    at = end;
  }
  said += withoutMarks(sliceOf(sheet, { start: at, end: Math.max(at, within.end) }));
  return said.replace(SPACES, ' ').trim();
}

/** `{C12}` is `C12`; of a list item that is a tag, what stands before its remark, which is prose. */
function stretchOf(sheet: Sheet, { form, span, remark }: Tag): Span & { readonly said: string } {
  if (form !== 'braces') {
    const end = remark?.span.start ?? span.end;
    return { start: span.start, end, said: sliceOf(sheet, { start: span.start, end }) };
  }
  return { ...span, said: sliceOf(sheet, span).replace(/^\{\s*|\s*\}$/g, '') };
}

/** A stretch of plain text, or a tag in braces, as it is read. */
export function plainText(sheet: Sheet, span: Span): string {
  return withoutEscapes(sliceOf(sheet, span).replace(/^\{\s*|\s*\}$/g, '')).replace(SPACES, ' ');
}

/** A stretch of a note, tags and marks in it, as it is read. */
export function plainWords(source: string): string {
  return withoutEscapes(withoutMarks(source.replace(/\{\s*|\s*\}/g, '')))
    .replace(SPACES, ' ')
    .trim();
}

/** What stands between plain text and tags: Markdown's own marks, which go, and code, whose words stay. */
function withoutMarks(between: string): string {
  return between
    .replace(/<!--[\s\S]*?(?:-->|$)/g, '')
    .replace(/^\s*(?:[-*+]|\d{1,9}[.)])\s+(?:\[[ xX]\]\s+)?/, '')
    .replace(/^\s*\[[ xX]\]\s+/, '')
    .replace(/\]\([^)]*\)?|\]\[[^\]]*\]?/g, '')
    .replace(/<br\b[^>]*>/gi, ' ')
    .replace(/<\/?[a-z][^>]*>/gi, '')
    .replace(/\n[ \t]*>/g, '\n')
    .replace(/!?\[|\]|[*_~`]+/g, '');
}

const NAMED: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  nbsp: '\u00a0',
  deg: '°',
  micro: 'µ',
  ohm: 'Ω',
  Omega: 'Ω',
  half: '½',
};

/** Backslashes before signs, and the character references that notes have. */
function withoutEscapes(text: string): string {
  return text
    .replace(/\n[ \t]*>[ \t]?/g, '\n')
    .replace(/\\([!-/:-@[-`{-~])/g, '$1')
    .replace(/\\\n/g, '\n')
    .replace(/&(?:#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6})|([a-zA-Z]{2,8}));/g, (whole, decimal, hex, name) => {
      if (name !== undefined) return Object.hasOwn(NAMED, name) ? (NAMED[name] ?? whole) : whole;
      const code = decimal === undefined ? Number.parseInt(hex, 16) : Number(decimal);
      return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : '\ufffd';
    });
}

function tableProse({ sheet, words, places }: Telling, table: Table): SaidTable {
  return {
    kind: 'table',
    caption: words.tableInText,
    isCaptionUnseen: true,
    columns: table.columns.map(({ text }) => ({ head: text })),
    rows: table.rows.map(({ span }) => ({
      cells: cellsOf(sliceOf(sheet, span)),
      line: places.lineOf(span),
    })),
    hasRowHeads: false,
  };
}

/** The cells of one row as written, without the outer pipes. */
function cellsOf(row: string): readonly string[] {
  const inner = row.trim().replace(/^\|/, '').replace(/\|$/, '');
  return inner
    .split(/(?<!\\)\|/)
    .map((cell) => withoutMarks(cell).replace(/\\\|/g, '|').replace(/[{}]/g, '').trim());
}

/** Code keeps its words; of a block of HTML the text between its tags; a rule, a comment, a script are nothing. */
function opaqueProse(source: string, line: number): readonly Said[] {
  const trimmed = source.trim();
  // A rule, or the target of a link that stands elsewhere.
  if (/^(?:[-*_][ \t]*){3,}$/.test(trimmed) || /^\[[^\]]+\]:/.test(trimmed)) return [];
  if (trimmed.startsWith('<')) {
    const said = trimmed
      .replace(/<!--[\s\S]*?(?:-->|$)/g, '')
      .replace(/<(script|style|template|iframe|svg|math)\b[\s\S]*?(?:<\/\1\s*>|$)/gi, '')
      .replace(/<[^>]*>?/g, ' ')
      .replace(SPACES, ' ')
      .trim();
    return said === '' ? [] : [paragraph(withoutEscapes(said), undefined, line)];
  }
  const code = source
    .replace(/^ {0,3}(?:`{3,}|~{3,})[^\n]*\n?/, '')
    .replace(/\n? {0,3}(?:`{3,}|~{3,})\s*$/, '');
  return code.trim() === '' ? [] : [{ kind: 'code', text: code }];
}

function sliceOf(sheet: Sheet, { start, end }: Span): string {
  return sheet.snapshot.text.slice(start, end);
}
