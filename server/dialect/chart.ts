/**
 * Owns the rows of a chart of readings: a point or valve in the first cell, and in the others what was read at it, by
 * electrode, pin or quantity, as found, as left, or as it should be.
 */
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import { type Cell, isBlankCell, type RowRead } from './cell.ts';
import { readCellPoints } from './cell-points.ts';
import { readValueFor } from './reading-cell.ts';
import { readSpecification, type SpecificationRead } from './specification.ts';
import type { Column, Node, Point, ReadingItem, Ref, Tag, Word, WritingProblem } from './tree.ts';
import { spanOfWritten } from './written.ts';

type Phased = RowRead['tags'][number];

export function readChartRow(text: string, columns: readonly Column[], cells: readonly Cell[]): RowRead {
  const row = readRow(text, columns, cells);
  const node = row.tags.map(({ tag }) => nodeOf(tag)).find((each) => each !== undefined);
  if (node === undefined) return row;
  // The name is one only if a connection uses it; until then the row may be anybody's words.
  const tags = row.tags.flatMap(({ tag, phase }): Phased[] => {
    if (tag.kind !== 'reading') return [];
    const candidate: Tag = { kind: 'candidate', form: 'cell', span: tag.span, conditions: [], node, tag };
    return [{ tag: candidate, phase }];
  });
  return { tags, read: row.read, problems: [] };
}

/** The node of a row that only this sheet may know. */
function nodeOf(tag: Tag): Node | undefined {
  const [point] = tag.kind === 'mention' ? tag.points : [];
  return point?.kind === 'node' && point.nature === 'free' ? point : undefined;
}

function readRow(text: string, columns: readonly Column[], cells: readonly Cell[]): RowRead {
  const first = cells[0];
  const named = first === undefined || first.tags.length > 0 ? undefined : readCellPoints(text, first.span);
  if (first === undefined || named === undefined) return { tags: [], read: new Set(), problems: [] };
  const read = new Set<Cell>([first]);
  const problems: WritingProblem[] = [];
  const tags: Phased[] = [];
  const label = labelTag(text, first, named.points, named.rest);
  if (label !== undefined) tags.push(label);
  columns.forEach((column, i) => {
    const cell = cells[i];
    if (i === 0 || cell === undefined || column.means === 'remark') return;
    if (cell.tags.length > 0) return;
    // A cell that says it was not read is neither a reading nor prose.
    if (isBlankCell(text, cell)) {
      read.add(cell);
      return;
    }
    if (column.means === 'type') {
      const typed = typeTag(text, cell, named.points);
      if (typed !== undefined) {
        read.add(cell);
        tags.push(typed);
      }
      return;
    }
    const points = pointsIn(column, named.points);
    const [point] = points;
    const found = point === undefined ? undefined : readValueFor(point, column.unit, text, cell.span);
    if (point === undefined || found === undefined) {
      problems.push(unreadable(text, cell, column, named.points));
      return;
    }
    read.add(cell);
    problems.push(...found.problems);
    tags.push({ tag: readingTag(cell.span, points, found.item, found.remark), phase: column.phase });
    if (found.reference !== undefined) {
      const should = { ...found.item, values: [found.reference] };
      const tag = readingTag(spanOfWritten(found.reference), points, should, undefined);
      tags.push({ tag, phase: 'nominal' });
      problems.push(asked(text, cell, found.reference));
    }
  });
  return { tags, read, problems };
}

/** What the first cell says by itself: a valve's type (`V5 6V6GT`), or only what the row is about. */
function labelTag(
  text: string,
  cell: Cell,
  points: readonly Point[],
  rest: Word | undefined,
): Phased | undefined {
  const refs = points.flatMap((point) => (point.kind === 'ref' ? [point] : []));
  const [ref] = refs;
  if (rest !== undefined && ref !== undefined && refs.length === points.length) {
    const found = readSpecification(ref.class, text, rest.span);
    if (found?.specification.type !== undefined) return fittedTag(cell, refs, found);
  }
  return {
    tag: { kind: 'mention', points, form: 'cell', span: cell.span, conditions: [], remark: rest },
    phase: undefined,
  };
}

/** A column that says which type is fitted. */
function typeTag(text: string, cell: Cell, points: readonly Point[]): Phased | undefined {
  const refs = points.flatMap((point) => (point.kind === 'ref' ? [point] : []));
  const [ref] = refs;
  const found = ref === undefined ? undefined : readSpecification(ref.class, text, cell.span);
  return found?.specification.type === undefined ? undefined : fittedTag(cell, refs, found);
}

function fittedTag(cell: Cell, refs: readonly Ref[], { specification, remark }: SpecificationRead): Phased {
  return {
    tag: {
      kind: 'fitted',
      refs,
      series: false,
      specification,
      connections: [],
      colonForEquals: false,
      isBesideReading: true,
      form: 'cell',
      span: cell.span,
      conditions: [],
      remark,
    },
    phase: undefined,
  };
}

/** Where the column's probe goes on the row's parts: their electrode or pin, or the row's own points. */
function pointsIn(column: Column, points: readonly Point[]): readonly Point[] {
  const { means, name } = column;
  // Millivolts of a whole valve are its cathode's, over the resistor that senses its current.
  if (means === 'quantity' && column.unit === 'mV') return points.map(cathodeOf);
  if ((means !== 'electrode' && means !== 'pin') || name === undefined) return points;
  return points.flatMap((point): Point[] => {
    if (point.kind !== 'ref') return [];
    const by = means === 'electrode' ? 'electrode' : point.class === 'valve' ? 'pin' : 'number';
    // It is written in two places; the row's is the one that belongs to this reading alone.
    return [{ kind: 'terminal', ref: point, terminal: name, by, span: point.span }];
  });
}

function cathodeOf(point: Point): Point {
  if (point.kind !== 'ref' || point.class !== 'valve') return point;
  return { kind: 'terminal', ref: point, terminal: 'k', by: 'electrode', span: point.span };
}

function readingTag(
  span: Span,
  points: readonly Point[],
  item: ReadingItem,
  remark: Word | undefined,
): Extract<Tag, { kind: 'reading' }> {
  return {
    kind: 'reading',
    // It was read for the first of them.
    items: points.length === 1 ? [item] : points.map((at) => ({ ...item, at })),
    refs: [],
    type: undefined,
    states: undefined,
    form: 'cell',
    span,
    conditions: [],
    remark,
  };
}

function unreadable(text: string, cell: Cell, column: Column, points: readonly Point[]): WritingProblem {
  const written = text.slice(cell.span.start, cell.span.end);
  const [point] = points;
  const name =
    point === undefined ? '' : point.kind === 'terminal' ? `${point.ref.name}.${point.terminal}` : point.name;
  return {
    kind: 'tag-unreadable',
    span: cell.span,
    message: `${name}, column ${column.text}: “${written}” can't be read; expected a value such as 331 V, or a dash where nothing was read.`,
    offers: [],
  };
}

function asked(text: string, cell: Cell, reference: WrittenValue): WritingProblem {
  const written = text.slice(cell.span.start, cell.span.end);
  const should = spanOfWritten(reference);
  return {
    kind: 'chart-reference-asked',
    span: cell.span,
    message: `“${written}” is taken as read, with what it should be (${text.slice(should.start, should.end)}) in brackets, in all of this chart; if you mean anything else, give it a column of its own, such as Nominal or Found.`,
    offers: [],
  };
}
