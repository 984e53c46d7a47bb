/**
 * Owns how a summary becomes Markdown for a git host or an e-mail: the same words as the page, without its drawings, whose
 * words stand in their place. No HTML, no pictures, no links but to photographs and sheets in the shop's own folders.
 */
import type {
  AsideRole,
  Block,
  Group,
  Item,
  List,
  Paragraph,
  Picture,
  Piece,
  Row,
  SummaryDocument,
  Table,
  Text,
} from './document.ts';
import { escapeMarkdown, escapeStart, fenced } from './escape-markdown.ts';
import { addressOf } from './places.ts';

/** The same document gives the same text, letter for letter. */
export function printMarkdown(summary: SummaryDocument): string {
  const facts = summary.facts.map(([name, text]) => `- **${escapeMarkdown(name)}**: ${textOf(text)}`);
  const pieces = [
    `# ${lineOf(summary.title)}`,
    `*${escapeMarkdown(summary.kind)}*`,
    facts.join('\n'),
    ...blocksOf(summary.opening),
    ...summary.sections.flatMap(({ heading, blocks }) => [`## ${lineOf(heading)}`, ...blocksOf(blocks)]),
  ];
  return `${pieces.filter((piece) => piece !== '').join('\n\n')}\n`;
}

function blocksOf(blocks: readonly Block[]): readonly string[] {
  return blocks.flatMap(blockOf).filter((said) => said !== '');
}

function blockOf(block: Block): readonly string[] {
  switch (block.kind) {
    case 'paragraph':
      return [paragraphOf(block)];
    case 'heading':
      return [`### ${lineOf(textOf(block.text, true))}`];
    case 'list':
      return [listOf(block)];
    case 'table':
      return tableOf(block);
    case 'code':
      return [fenced(block.text)];
    case 'quoted':
      return blocksOf(block.blocks);
    case 'picture':
      return pictureOf(block);
  }
}

function paragraphOf({ role, text }: Paragraph): string {
  const said = escapeStart(textOf(text));
  return role === 'warning' ? `> ${said}` : said;
}

function pictureOf({ title, alternative, notes, table }: Picture): readonly string[] {
  return [
    emphasised(textOf(title)),
    escapeStart(textOf(alternative)),
    ...(table === undefined ? [] : tableOf(table)),
    ...notes.map((note) => escapeStart(textOf(note))),
  ];
}

function listOf({ role, items }: List): string {
  return items
    .map((item, i) => itemOf(item, role === 'numbered' ? `${i + 1}. ` : '- '))
    .filter((said) => said !== '')
    .join('\n');
}

/** An item with what belongs to it indented below. */
function itemOf({ text, blocks = [] }: Item, mark: string): string {
  const said = [...(text === undefined ? [] : [escapeStart(textOf(text))]), ...blocksOf(blocks)];
  const [first, ...rest] = said;
  if (first === undefined) return '';
  const indent = ' '.repeat(mark.length);
  const inside = (block: string): string => block.replace(/\n(?=.)/g, `\n${indent}`);
  return [mark + inside(first), ...rest.map((block) => `${indent}${inside(block)}`)].join('\n\n');
}

function tableOf(table: Table): readonly string[] {
  const { caption, isCaptionUnseen = false, columns, rows, hasRowHeads } = table;
  const cells = (texts: readonly Text[]): string =>
    `| ${columns.map((_, i) => textOf(texts[i]).trim()).join(' | ')} |`;
  const lines = rows.map((row) =>
    isGroup(row)
      ? cells([{ kind: 'strong', text: row.group }])
      : cells(hasRowHeads ? [rowHead(row), ...row.cells.slice(1)] : row.cells),
  );
  const rule = `| ${columns.map(({ role }) => (role === undefined ? '---' : '--:')).join(' | ')} |`;
  const told = rows.flatMap((row) => (isGroup(row) || row.below === undefined ? [] : [belowOf(row)]));
  return [
    ...(isCaptionUnseen ? [] : [escapeStart(textOf(caption))]),
    [cells(columns.map(({ head }) => head)), rule, ...lines].join('\n'),
    ...(told.length === 0 ? [] : [told.join('\n')]),
  ];
}

/** The name itself in bold, without what is told of it. */
function rowHead({ cells: [head] }: Pick<Row, 'cells'>): Text {
  if (head === undefined || typeof head === 'string' || isPiece(head)) return { kind: 'strong', text: head };
  const [name, ...more] = head;
  return [{ kind: 'strong', text: name }, ...more];
}

function isGroup(row: Row | Group): row is Group {
  return 'group' in row;
}

/** What is told of a row stands after the table, since a cell holds no more than a line. */
function belowOf({ cells, below = [] }: Row): string {
  return itemOf({ text: rowHead({ cells }), blocks: below }, '- ');
}

function textOf(text: Text, isPlain = false): string {
  if (text === undefined) return '';
  if (typeof text === 'string') return isPlain ? text : escapeMarkdown(text);
  if (isPiece(text)) return pieceOf(text, isPlain);
  return text.map((each) => textOf(each, isPlain)).join('');
}

function isPiece(text: Piece | readonly Text[]): text is Piece {
  return 'kind' in text;
}

function pieceOf(piece: Piece, isPlain: boolean): string {
  switch (piece.kind) {
    case 'strong':
      return isPlain ? textOf(piece.text, true) : emphasised(textOf(piece.text));
    case 'aside':
      return asideOf(piece.role, textOf(piece.text, isPlain), isPlain);
    case 'foreign':
    case 'jump':
      return textOf(piece.text, isPlain);
    case 'photo':
      return isPlain ? textOf(piece.text, true) : `[${textOf(piece.text)}](${piece.path})`;
    case 'sheet':
      return isPlain ? textOf(piece.text, true) : `[${textOf(piece.text)}](${addressOf(piece.path)})`;
    case 'sign':
      return piece.sign;
    case 'legend':
    case 'bar':
      return '';
  }
}

/** What the page sets apart by its looks stands in brackets here, or behind a dash. */
function asideOf(role: AsideRole, said: string, isPlain: boolean): string {
  if (said === '' || isPlain) return said;
  switch (role) {
    case 'severity':
      return emphasised(said);
    case 'because':
      return said;
    case 'conditions':
      return `– ${said}`;
    case 'note':
    case 'place':
    case 'gloss':
      return `(${said})`;
  }
}

/** Stars open only before a word and close only behind one. */
function emphasised(said: string): string {
  const inner = said.trim();
  return inner === '' ? '' : said.replace(inner, () => `**${inner}**`);
}

/** A heading's text: one line that is no more than a heading. */
function lineOf(text: string): string {
  return escapeMarkdown(text).replace(/#+\s*$/, (marks) => `\\${marks}`);
}
