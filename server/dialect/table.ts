/**
 * Owns the reading of tables: their cells as GitHub counts them, each with its place in the source (a cell's `value` in
 * the tree is not what stands there), and what a row says as a parts list, a chart, or neither.
 */
import type { TableCell, Table as TableNode, TableRow } from 'mdast';
import type { Span } from '../text/span.ts';
import type { Cell, RowRead } from './cell.ts';
import { readChartRow } from './chart.ts';
import { natureOf, readColumns } from './columns.ts';
import { readPartsRow } from './parts-list.ts';
import type { Row, Table, Tag, WritingProblem } from './tree.ts';

export function readTable(
  text: string,
  node: TableNode,
  readInline: (cell: TableCell) => { readonly tags: readonly Tag[]; readonly prose: readonly Span[] },
): { readonly table: Table; readonly problems: readonly WritingProblem[] } {
  const [head, ...body] = node.children;
  const headings = (head?.children ?? []).map((cell) => {
    const span = cellSpan(text, cell);
    return { text: text.slice(span.start, span.end), span };
  });
  const nature = natureOf(headings);
  const columns = readColumns(nature, headings);
  const problems: WritingProblem[] = [];
  let isReferenceAsked = false;
  const rows = body.map((row): Row => {
    // Cells beyond the headings are not shown by any host, so they say nothing.
    const cells = row.children.slice(0, columns.length).map((cell): Cell => {
      const { tags, prose } = readInline(cell);
      return { span: cellSpan(text, cell), tags, prose };
    });
    const read = readRow(text, nature, columns, cells);
    for (const problem of read.problems) {
      // The question is the same for all the chart, and is asked where it first comes up.
      if (problem.kind === 'chart-reference-asked' && isReferenceAsked) continue;
      if (problem.kind === 'chart-reference-asked') isReferenceAsked = true;
      problems.push(problem);
    }
    const all = [...read.tags];
    const prose: Span[] = [];
    for (const cell of cells) {
      for (const tag of cell.tags) all.push({ tag, phase: undefined });
      if (!read.read.has(cell)) prose.push(...cell.prose);
    }
    all.sort((a, b) => a.tag.span.start - b.tag.span.start);
    return {
      tags: all.map(({ tag }) => tag),
      phases: all.map(({ phase }) => phase),
      prose,
      span: spanOfRow(row),
    };
  });
  const span = { start: node.position?.start.offset ?? 0, end: node.position?.end.offset ?? 0 };
  return { table: { kind: 'table', nature, columns, rows, span }, problems };
}

function readRow(
  text: string,
  nature: Table['nature'],
  columns: Table['columns'],
  cells: readonly Cell[],
): RowRead {
  if (nature === 'parts') return readPartsRow(text, columns, cells);
  if (nature === 'chart') return readChartRow(text, columns, cells);
  return { tags: [], read: new Set(), problems: [] };
}

/**
 * A cell's content in the source. The tree's place of a cell runs from its left pipe up to the next, and the last one
 * has the closing pipe in it.
 *
 *     | V4 | 348 |
 *     ^^^^^
 *          ^^^^^^^
 */
function cellSpan(text: string, cell: TableCell): Span {
  let start = cell.position?.start.offset ?? 0;
  let end = cell.position?.end.offset ?? 0;
  if (text.charAt(start) === '|') start++;
  while (end > start && isGap(text.charAt(end - 1))) end--;
  if (end > start && text.charAt(end - 1) === '|' && !isEscaped(text, end - 1, start)) end--;
  while (start < end && isGap(text.charAt(start))) start++;
  while (end > start && isGap(text.charAt(end - 1))) end--;
  return { start, end };
}

/** Behind an odd number of backslashes. */
function isEscaped(text: string, at: number, from: number): boolean {
  let count = 0;
  while (at - 1 - count >= from && text.charAt(at - 1 - count) === '\\') count++;
  return count % 2 === 1;
}

function isGap(character: string): boolean {
  return character === ' ' || character === '\t';
}

function spanOfRow(row: TableRow): Span {
  return { start: row.position?.start.offset ?? 0, end: row.position?.end.offset ?? 0 };
}
