/** Owns how a document is printed to a terminal: the same words as on the page, wrapped and aligned; colour only where it is wanted. */
import type { Block, Group, Item, Piece, Row, SummaryDocument, Table, Text } from '../summary/document.ts';
import { painter, plain, type Terminal, visibleLength, wrap as wrapTo } from './terminal.ts';

export function documentText(document: SummaryDocument, terminal: Terminal): string {
  const printer = createPrinter(terminal);
  const { title, facts, opening, sections } = document;
  const widest = Math.max(0, ...facts.map(([name]) => name.length));
  const blocks = [
    [printer.paint('bold', plain(title))],
    facts.flatMap(([name, text]) =>
      printer.wrap(`${name.padEnd(widest)}  ${printer.say(text)}`, '', ' '.repeat(widest + 2)),
    ),
    ...opening.map((block) => printer.block(block, '')),
    ...sections.map(({ heading, blocks: own }) => [
      printer.paint(['bold', 'underline'], plain(heading)),
      ...own.flatMap((block) => printer.block(block, '  ')),
    ]),
  ];
  return `${blocks
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function createPrinter(terminal: Terminal) {
  const { width } = terminal;
  const paint = painter(terminal);

  const say = (text: Text): string => {
    if (text === undefined) return '';
    if (typeof text === 'string') return plain(text);
    return isPiece(text) ? sayPiece(text) : text.map(say).join('');
  };

  const sayPiece = (piece: Piece): string => {
    switch (piece.kind) {
      case 'strong':
        return paint('bold', say(piece.text));
      case 'aside': {
        const said = say(piece.text);
        return said === '' ? '' : paint('dim', `(${said})`);
      }
      case 'sheet':
        return plain(piece.path);
      case 'sign':
        return piece.sign;
      case 'legend':
      case 'bar':
        return '';
      default:
        return say(piece.text);
    }
  };

  const wrap = (text: string, lead: string, indent: string) => wrapTo(text, lead, indent, width);

  const block = (of: Block, indent: string): readonly string[] => {
    switch (of.kind) {
      case 'paragraph': {
        const said = say(of.text);
        const text = of.role === 'small' || of.role === 'place' ? paint('dim', said) : said;
        return wrap(text, indent, indent);
      }
      case 'heading':
        return [indent + paint('bold', say(of.text))];
      case 'list':
        return of.items.flatMap((item) => itemLines(item, indent));
      case 'table':
        return tableLines(of, indent);
      case 'quoted':
        return of.blocks.flatMap((each) => block(each, `${indent}  `));
      case 'code':
        return of.text.split('\n').map((line) => indent + plain(line));
      case 'picture':
        return wrap(say(of.alternative), indent, indent);
    }
  };

  const itemLines = ({ text, blocks = [] }: Item, indent: string): readonly string[] => [
    ...(text === undefined ? [] : wrap(say(text), `${indent}- `, `${indent}  `)),
    ...blocks.flatMap((each) => block(each, `${indent}  `)),
  ];

  const tableLines = (
    { caption, isCaptionUnseen = false, columns, rows }: Table,
    indent: string,
  ): readonly string[] => {
    const heads = columns.map(({ head }) => say(head));
    const cells = rows.map((row) => (isGroup(row) ? undefined : columns.map((_, i) => say(row.cells[i]))));
    const widths = columns.map((_, i) =>
      Math.max(visibleLength(heads[i] ?? ''), ...cells.map((row) => visibleLength(row?.[i] ?? ''))),
    );
    const align = (row: readonly string[]): string =>
      row
        .map((cell, i) => {
          const gap = ' '.repeat((widths[i] ?? 0) - visibleLength(cell));
          return columns[i]?.role === 'number' ? gap + cell : cell + gap;
        })
        .join('  ')
        .trimEnd();
    // A last column of words is wrapped in its own room, where there is any.
    const last = columns.length - 1;
    const before = indent + ' '.repeat(widths.slice(0, last).reduce((sum, each) => sum + each + 2, 0));
    const isWrapped = last > 0 && columns[last]?.role !== 'number' && before.length + LEAST_ROOM <= width;
    const rowLines = (row: readonly string[]): readonly string[] =>
      isWrapped
        ? wrap(
            `${align(row.slice(0, last)).padEnd(before.length - indent.length - 2)}  ${row[last] ?? ''}`,
            indent,
            before,
          )
        : [indent + align(row)];
    return [
      ...(isCaptionUnseen ? [] : ['', ...wrap(paint('bold', say(caption)), indent, indent)]),
      indent + paint('dim', align(heads)),
      ...rows.flatMap((row: Row | Group, i) => {
        if (isGroup(row)) return [indent + paint('bold', say(row.group))];
        const below = (row.below ?? []).flatMap((each) => block(each, `${indent}    `));
        return [...rowLines(cells[i] ?? []), ...below];
      }),
    ];
  };

  return { paint, say, wrap, block };
}

/** Fewer letters than this are no column. */
const LEAST_ROOM = 24;

function isPiece(text: Piece | readonly Text[]): text is Piece {
  return 'kind' in text;
}

function isGroup(row: Row | Group): row is Group {
  return 'group' in row;
}
