/**
 * Owns the offer to make a chart of list items that are readings at valves. It is made only where the chart says all that the
 * items say: it is read again beside them, and a remark, a condition or a unit that would be lost leaves the list as it is.
 */
import { readNote } from '../dialect/note.ts';
import type { ReadingItem } from '../dialect/tree.ts';
import type { Fix } from '../rules/rule.ts';
import type { Sheet, Statement } from '../sheet/model.ts';
import { readSheet } from '../sheet/read.ts';
import type { Analysis } from '../shop/shop.ts';
import { createSnapshot, lineAt, lineEndingNear, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { lineHead, type ReadingLine, readingLine } from './reading-lines.ts';

export function moveToTable({ sheet }: Analysis, at: Span): readonly Fix[] {
  const run = findRun(sheet, at);
  const [first, last] = [run[0], run.at(-1)];
  if (run.length < 2 || first === undefined || last === undefined) return [];
  const rows = chartOf(run, sheet);
  if (rows === undefined) return [];
  const { snapshot } = sheet;
  const start = lineSpan(snapshot, lineAt(snapshot, first.passage.span.start)).start;
  const { end } = lineSpan(snapshot, lineAt(snapshot, last.passage.span.end));
  // What is indented below the last item belongs to it, over blank lines too.
  if (/^\s*[\r\n][ \t]{2,}\S/.test(snapshot.text.slice(end))) return [];
  const eol = lineEndingNear(snapshot, start);
  const table = laidOut(rows).join(eol);
  if (saidBy(table) !== saidBy(snapshot.text.slice(start, end))) return [];
  const edit = { span: { start, end }, text: apart(snapshot, { start, end }, table, eol) };
  return [{ title: 'Make a chart of these readings', safety: 'suggestion', edits: [edit] }];
}

// ---------------------------------------------------------------------------------------------------------------
// The list

/** The run of items around a place, each on lines of its own right below the one before it. */
function findRun({ note, snapshot }: Sheet, at: Span): readonly ReadingLine[] {
  const { blocks } = note;
  const line = lineAt(snapshot, at.start);
  const isAt = ({ span }: { readonly span: Span }) =>
    lineAt(snapshot, span.start) <= line && line <= lineAt(snapshot, span.end);
  const index = blocks.findIndex(isAt);
  const take = (i: number): ReadingLine | undefined => {
    const found = readingLine(blocks[i]);
    if (found === undefined || !/^ {0,3}[-*+][ \t]+$/.test(lineHead(snapshot, found.passage.span)))
      return undefined;
    const below = blocks[i + 1];
    // An item with more in it than its line is no row.
    const hasMore = below?.kind === 'passage' && below.listDepth > 1;
    return found.passage.listDepth > 1 || hasMore ? undefined : found;
  };
  const own = take(index);
  if (own === undefined) return [];
  const run = [own];
  const isNext = (above: ReadingLine, below: ReadingLine) =>
    lineAt(snapshot, below.passage.span.start) === lineAt(snapshot, above.passage.span.end) + 1;
  for (let i = index - 1; ; i--) {
    const [above, head] = [take(i), run[0]];
    if (above === undefined || head === undefined || !isNext(above, head)) break;
    run.unshift(above);
  }
  for (let i = index + 1; ; i++) {
    const [below, tail] = [take(i), run.at(-1)];
    if (below === undefined || tail === undefined || !isNext(tail, below)) break;
    run.push(below);
  }
  return run;
}

// ---------------------------------------------------------------------------------------------------------------
// The chart

type Cells = readonly string[];

/** Headings and rows; undefined where an item says what no cell can. */
function chartOf(run: readonly ReadingLine[], { snapshot }: Sheet): readonly Cells[] | undefined {
  const columns: string[] = [];
  const rows: Map<string, string>[] = [];
  for (const { tag, refs } of run) {
    if (tag.conditions.length > 0 || tag.remark !== undefined || tag.states !== undefined) return undefined;
    const type = tag.type;
    if (type !== undefined && snapshot.text.slice(type.span.start, type.span.end) !== type.type?.text)
      return undefined;
    const names = refs.map(({ name }) => name).join(', ');
    const row = new Map([['Valve', type?.type === undefined ? names : `${names} ${type.type.text}`]]);
    for (const item of tag.items) {
      const column = columnOf(item);
      const cell = cellOf(item);
      if (column === undefined || cell === undefined) return undefined;
      // The same at several valves at once is one cell; the same read twice is two, and there is only one.
      if (row.has(column) && row.get(column) !== cell) return undefined;
      row.set(column, cell);
      if (!columns.includes(column)) columns.push(column);
    }
    rows.push(row);
  }
  const headings = ['Valve', ...columns];
  return [headings, ...rows.map((row) => headings.map((heading) => row.get(heading) ?? ''))];
}

function columnOf({ at, quantity }: ReadingItem): string | undefined {
  if (at.kind === 'terminal') return at.by === 'pin' ? `pin ${at.terminal}` : at.terminal;
  return at.kind === 'ref' && quantity === 'current' ? 'mA' : undefined;
}

function cellOf(item: ReadingItem): string | undefined {
  const [written] = item.values;
  if (written === undefined || item.values.length > 1 || item.then !== undefined) return undefined;
  if (item.frequency !== undefined || item.atVolts !== undefined) return undefined;
  const spelled = (written.kind === 'value' ? written.value.spelling : written.spelling).trim();
  if (/[|\r\n]/.test(spelled)) return undefined;
  if (item.at.kind === 'ref') return spelled.replace(/\s?mA$/, '');
  return spelled.replace(/(?<=\d)\s?V$/, '');
}

function laidOut(rows: readonly Cells[]): readonly string[] {
  const [headings = []] = rows;
  const widths = headings.map((_, i) => Math.max(3, ...rows.map((row) => row[i]?.length ?? 0)));
  const line = (cells: Cells) => `| ${cells.map((cell, i) => cell.padEnd(widths[i] ?? 0)).join(' | ')} |`;
  const [head, ...body] = rows.map(line);
  return [head ?? '', `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`, ...body];
}

/** With a blank line on each side where none is yet, so that no paragraph or list takes the rows in. */
function apart(snapshot: Snapshot, { start, end }: Span, table: string, eol: string): string {
  const [above, below] = [lineAt(snapshot, start) - 1, lineAt(snapshot, end) + 1];
  const isBlank = (line: number) => {
    if (line < 0 || line >= snapshot.lineStarts.length) return true;
    const span = lineSpan(snapshot, line);
    return snapshot.text.slice(span.start, span.end).trim() === '';
  };
  return `${isBlank(above) ? '' : eol}${table}${isBlank(below) ? '' : eol}`;
}

// ---------------------------------------------------------------------------------------------------------------
// The same said

/** Everything that a piece of a sheet says and is told of, without places, spellings and the order within a set. */
function saidBy(text: string): string {
  const { statements, problems } = readSheet(readNote(createSnapshot('piece.tagstrip.md', text)));
  const said = statements.map((statement: Statement) => JSON.stringify(statement, plain)).sort();
  return JSON.stringify([said, problems.map(({ kind }) => kind).sort()]);
}

const UNSAID: ReadonlySet<string> = new Set([
  'span',
  'spelling',
  'unitWritten',
  'index',
  'of',
  'colonForEquals',
]);

function plain(key: string, value: unknown): unknown {
  if (UNSAID.has(key)) return undefined;
  return typeof value === 'number' ? Number(value.toPrecision(12)) : value;
}
