/**
 * Owns how the author's own words are put on a page: word for word, without Markdown's marks and tags' braces. Comments
 * and link targets are no words and stay in; nothing that stands in a note becomes a link, an image or markup.
 */
import type { Block, Passage, Table, Tag } from '../dialect/tree.ts';
import type { Section, Sheet, Topic } from '../sheet/model.ts';
import { lineAt } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { contains } from '../text/span.ts';
import { type Html, html, isEmpty, NOTHING } from './escape.ts';
import { words } from './words.ts';

/** Space that means no more than one space; a no-break space is one that the author chose. */
const SPACES = /[ \t\r\n\f]+/g;

/** All sections of a topic, each deeper heading with its own text; empty where nothing is written. */
export function topicProse(sheet: Sheet, topic: Topic): Html {
  const sections = sheet.sections.filter((section) => section.topic === topic);
  let head = 0;
  const pieces = sections.map((section) => {
    const isUnder = head > 0 && section.depth > head;
    if (!isUnder) head = section.depth;
    const body = sectionProse(sheet, section);
    return isUnder && !isEmpty(body) ? html`<h3>${section.heading}</h3>${body}` : body;
  });
  return pieces.every(isEmpty) ? NOTHING : html`${pieces}`;
}

/** The stretch of the sheet that a topic's sections stand in, its headings included. */
export function topicSpans(sheet: Sheet, topic: Topic): readonly Span[] {
  return sheet.sections
    .filter((section) => section.topic === topic)
    .map(({ headingSpan, bodySpan }) => ({ start: headingSpan.start, end: bodySpan.end }));
}

function sectionProse(sheet: Sheet, { bodySpan }: Section): Html {
  const blocks = sheet.note.blocks.filter(({ span }) => contains(bodySpan, span));
  const pieces: Html[] = [];
  let items: Html[] = [];
  let isNumbered = false;
  const closeList = (): void => {
    if (items.length > 0) pieces.push(isNumbered ? html`<ol>${items}</ol>` : html`<ul>${items}</ul>`);
    items = [];
  };
  for (const block of blocks) {
    if (block.kind === 'passage' && block.listDepth > 0) {
      const said = passageText(sheet, block);
      if (said === '') continue;
      if (block.container === 'item' && hasNumber(sheet, block) !== isNumbered) {
        closeList();
        isNumbered = !isNumbered;
      }
      items.push(html`<li>${said}</li>`);
      continue;
    }
    closeList();
    pieces.push(blockProse(sheet, block));
  }
  closeList();
  return pieces.every(isEmpty) ? NOTHING : html`${pieces}`;
}

/** Whether a list item was written with a number before it. */
function hasNumber({ snapshot }: Sheet, { span }: Passage): boolean {
  const before = snapshot.text.slice(snapshot.lineStarts[lineAt(snapshot, span.start)], span.start);
  return /\d[.)][ \t]+(?:\[[ xX]\][ \t]+)?$/.test(before);
}

function blockProse(sheet: Sheet, block: Block): Html {
  switch (block.kind) {
    case 'heading':
      return NOTHING;
    case 'table':
      return tableProse(sheet, block);
    case 'opaque':
      return opaqueProse(sliceOf(sheet, block.span));
    case 'passage': {
      const said = passageText(sheet, block);
      return said === '' ? NOTHING : html`<p>${said}</p>`;
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

function tableProse(sheet: Sheet, table: Table): Html {
  const heads = table.columns.map(({ text }) => html`<th scope="col">${text}</th>`);
  const rows = table.rows.map(({ span }) => {
    const cells = cellsOf(sliceOf(sheet, span)).map((cell) => html`<td>${cell}</td>`);
    return html`<tr>${cells}</tr>`;
  });
  return html`<table><caption class="unseen">${words.tableInText}</caption><thead><tr>${heads}</tr></thead><tbody>${rows}</tbody></table>`;
}

/** The cells of one row as written, without the outer pipes. */
function cellsOf(row: string): readonly string[] {
  const inner = row.trim().replace(/^\|/, '').replace(/\|$/, '');
  return inner
    .split(/(?<!\\)\|/)
    .map((cell) => withoutMarks(cell).replace(/\\\|/g, '|').replace(/[{}]/g, '').trim());
}

/** Code keeps its words; of a block of HTML the text between its tags; a rule, a comment, a script are nothing. */
function opaqueProse(source: string): Html {
  const trimmed = source.trim();
  // A rule, or the target of a link that stands elsewhere.
  if (/^(?:[-*_][ \t]*){3,}$/.test(trimmed) || /^\[[^\]]+\]:/.test(trimmed)) return NOTHING;
  if (trimmed.startsWith('<')) {
    const said = trimmed
      .replace(/<!--[\s\S]*?(?:-->|$)/g, '')
      .replace(/<(script|style|template|iframe|svg|math)\b[\s\S]*?(?:<\/\1\s*>|$)/gi, '')
      .replace(/<[^>]*>?/g, ' ')
      .replace(SPACES, ' ')
      .trim();
    return said === '' ? NOTHING : html`<p>${withoutEscapes(said)}</p>`;
  }
  const code = source
    .replace(/^ {0,3}(?:`{3,}|~{3,})[^\n]*\n?/, '')
    .replace(/\n? {0,3}(?:`{3,}|~{3,})\s*$/, '');
  return code.trim() === '' ? NOTHING : html`<pre>${code}</pre>`;
}

function sliceOf(sheet: Sheet, { start, end }: Span): string {
  return sheet.snapshot.text.slice(start, end);
}
