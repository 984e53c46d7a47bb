/**
 * Owns the rows of a parts list: what is fitted, where it is connected, and what was changed for what. Each cell is read
 * by itself, so that a bad one spoils nothing else.
 */
import { cover, type Span } from '../text/span.ts';
import { type Cell, isBlankCell, type RowRead } from './cell.ts';
import { readCellPoints, readCellRefs } from './cell-points.ts';
import { scanConnections, scanLoneEnd } from './connections.ts';
import { fold, unfold } from './folding.ts';
import { readValueFor } from './reading-cell.ts';
import { readSpecification } from './specification.ts';
import type {
  Column,
  Connection,
  PartClass,
  Rating,
  Ref,
  Specification,
  Tag,
  Word,
  Work,
  WritingProblem,
} from './tree.ts';
import { nameOfClass, scanWork } from './vocabulary.ts';
import { writtenAs } from './written.ts';

interface RowDraft {
  readonly text: string;
  readonly refs: readonly Ref[];
  readonly partClass: PartClass;
  readonly read: Set<Cell>;
  readonly problems: WritingProblem[];
  readonly spans: Span[];
  remark: Word | undefined;
}

export function readPartsRow(text: string, columns: readonly Column[], cells: readonly Cell[]): RowRead {
  const first = cells[0];
  const named = first === undefined || first.tags.length > 0 ? undefined : readCellRefs(text, first.span);
  const ref = named?.refs[0];
  if (first === undefined || named === undefined || ref === undefined) {
    return { tags: [], read: new Set(), problems: [] };
  }
  const row: RowDraft = {
    text,
    refs: named.refs,
    partClass: ref.class,
    read: new Set([first]),
    problems: [],
    spans: [first.span],
    remark: named.rest,
  };
  const { old: oldCells, fitted, measured, now, from, to } = sortCells(text, columns, cells);
  const was = merge(oldCells.flatMap((cell) => readSpec(row, cell)));
  const plain = merge(fitted.flatMap(([column, cell]) => readColumn(row, column, cell)));
  const connections = readConnections(row, from, to);
  const work = now === undefined ? undefined : readWork(row, now);
  const is = now === undefined || work !== undefined ? undefined : merge(readSpec(row, now));
  const tags: Tag[] = [];
  if (work !== undefined || is !== undefined) {
    // Beside Was, what other columns say is of the new part; without it, they say what was there.
    const old = was ?? plain;
    const added = was === undefined || work !== undefined ? undefined : plain;
    const changed =
      work?.word ?? (added === undefined ? is : merge([is, added].filter((each) => each !== undefined)));
    if (changed !== undefined) {
      tags.push({
        kind: 'change',
        refs: row.refs,
        series: false,
        was: old,
        is: changed,
        work: work?.work,
        connections,
        form: 'cell',
        span: spanOf(row),
        conditions: [],
        remark: row.remark,
      });
    }
  } else {
    const specification = merge([was, plain].filter((each) => each !== undefined));
    if (specification !== undefined || connections.length > 0) {
      tags.push({
        kind: 'fitted',
        refs: row.refs,
        series: false,
        specification,
        connections,
        colonForEquals: false,
        isBesideReading: undefined,
        form: 'cell',
        span: spanOf(row),
        conditions: [],
        remark: row.remark,
      });
    } else {
      // Nothing is said of it, or nothing that could be read: it is named all the same.
      tags.push({
        kind: 'mention',
        points: row.refs,
        form: 'cell',
        span: spanOf(row),
        conditions: [],
        remark: row.remark,
      });
    }
  }
  for (const cell of measured) tags.push(...readMeasured(row, cell));
  return { tags: tags.map((tag) => ({ tag, phase: undefined })), read: row.read, problems: row.problems };
}

/** The cells that say something, by what their columns mean; of `now`, `from` and `to` the first counts. */
interface SortedCells {
  readonly old: Cell[];
  readonly fitted: (readonly [Column, Cell])[];
  readonly measured: Cell[];
  now: Cell | undefined;
  from: Cell | undefined;
  to: Cell | undefined;
}

function sortCells(text: string, columns: readonly Column[], cells: readonly Cell[]): SortedCells {
  const sorted: SortedCells = {
    old: [],
    fitted: [],
    measured: [],
    now: undefined,
    from: undefined,
    to: undefined,
  };
  for (let i = 0; i < columns.length; i++) {
    const [column, cell] = [columns[i], cells[i]];
    if (column === undefined || cell === undefined) continue;
    if (cell.tags.length > 0 || isBlankCell(text, cell)) continue;
    switch (column.means) {
      case 'was':
        sorted.old.push(cell);
        break;
      case 'value':
      case 'rating':
      case 'kind':
      case 'type':
      case 'tolerance':
      case 'date':
        sorted.fitted.push([column, cell]);
        break;
      case 'quantity':
        sorted.measured.push(cell);
        break;
      case 'now':
      case 'from':
      case 'to':
        sorted[column.means] ??= cell;
        break;
    }
  }
  return sorted;
}

/** What the meter said of the row's parts, in a column of its own (`Measured`). */
function readMeasured(row: RowDraft, cell: Cell): Tag[] {
  const [first] = row.refs;
  const found = first === undefined ? undefined : readValueFor(first, undefined, row.text, cell.span);
  if (found === undefined) {
    unreadable(row, cell, 'what was measured');
    return [];
  }
  row.read.add(cell);
  row.problems.push(...found.problems);
  return [
    {
      kind: 'reading',
      items: row.refs.map((at) => ({ ...found.item, at })),
      refs: [],
      type: undefined,
      states: undefined,
      form: 'cell',
      span: cell.span,
      conditions: [],
      remark: found.remark,
    },
  ];
}

function spanOf(row: RowDraft): Span {
  return cover(row.spans) ?? { start: 0, end: 0 };
}

function take(row: RowDraft, cell: Cell): void {
  row.read.add(cell);
  row.spans.push(cell.span);
}

function unreadable(row: RowDraft, cell: Cell, expected: string): void {
  const written = row.text.slice(cell.span.start, cell.span.end);
  row.problems.push({
    kind: 'tag-unreadable',
    span: cell.span,
    message: `${row.refs[0]?.name ?? ''}: “${written}” can't be read; expected ${expected}, or a dash where nothing is known.`,
    offers: [],
  });
}

function readSpec(row: RowDraft, cell: Cell): Specification[] {
  const found = readSpecification(row.partClass, row.text, cell.span);
  if (found === undefined) {
    unreadable(row, cell, `what is fitted as ${nameOfClass(row.partClass)}`);
    return [];
  }
  take(row, cell);
  row.problems.push(...found.problems);
  row.remark ??= found.remark;
  return [found.specification];
}

/** A cell of a column that says what part of a specification it holds, so that a bare number has a meaning there. */
function readColumn(row: RowDraft, column: Column, cell: Cell): Specification[] {
  const written = row.text.slice(cell.span.start, cell.span.end);
  const number = /^[±~<>]?\s?(?:\d+(?:[.,]\d+)?|[.,]\d+)$/.test(written);
  const part = /^(\d)\/(\d{1,2})$/.exec(written);
  const rate = (of: Rating['of'], meaning: string): Specification[] => {
    take(row, cell);
    const value = writtenAs(row.text, cell.span, meaning, undefined, row.partClass);
    return [ratedOnly(cell.span, { of, value, text: written, span: cell.span })];
  };
  if (column.means === 'rating' && (number || part !== null)) {
    const unit = column.unit ?? { capacitor: 'V', resistor: 'W', fuse: 'A' }[row.partClass as string];
    if (unit !== undefined) {
      const share = part === null ? written : String(Number(part[1]) / Math.max(1, Number(part[2])));
      return rate(unit === 'V' ? 'voltage' : unit === 'W' ? 'power' : 'current', `${share} ${unit}`);
    }
  }
  if (column.means === 'tolerance' && number) return rate('tolerance', `${written.replace(/^±\s?/, '')}%`);
  if (column.means === 'date' && /^[\d?/.-]+$/.test(written)) {
    take(row, cell);
    const value = { kind: 'unread' as const, spelling: written, span: cell.span };
    return [ratedOnly(cell.span, { of: 'date', value, text: written, span: cell.span })];
  }
  return readSpec(row, cell);
}

function ratedOnly(span: Span, rating: Rating): Specification {
  return {
    span,
    values: [],
    ratings: [rating],
    kinds: [],
    type: undefined,
    windings: [],
    fuseSpeed: undefined,
  };
}

/** `removed`, `same`: work that is not a new value. */
function readWork(row: RowDraft, cell: Cell): { readonly work: Work; readonly word: Word } | undefined {
  const folded = fold(row.text, cell.span, true);
  const found = scanWork(folded.text, 0);
  if (found === undefined) return undefined;
  take(row, cell);
  const word = unfold({ text: folded.text.slice(0, found.end), span: { start: 0, end: found.end } }, folded);
  return { work: found.work, word };
}

/** From and To; one alone may say both (`V5.k to gnd`), or one end, and then the other is ground. */
function readConnections(row: RowDraft, from: Cell | undefined, to: Cell | undefined): readonly Connection[] {
  if (from !== undefined && to !== undefined) {
    const starts = readCellPoints(row.text, from.span);
    const ends = readCellPoints(row.text, to.span);
    if (starts === undefined) unreadable(row, from, 'a point, such as V5.k or B+1');
    if (ends === undefined) unreadable(row, to, 'a point, such as V5.k or gnd');
    if (starts === undefined || ends === undefined) return [];
    take(row, from);
    take(row, to);
    const span = {
      start: Math.min(from.span.start, to.span.start),
      end: Math.max(from.span.end, to.span.end),
    };
    return [{ kind: 'ends', from: starts.points, to: ends.points, toWritten: true, span }];
  }
  const only = from ?? to;
  if (only === undefined) return [];
  const folded = fold(row.text, only.span, true);
  const found = scanConnections(folded.text, 0, row.partClass) ?? scanLoneEnd(folded.text, 0);
  if (found === undefined) {
    unreadable(row, only, 'where it is connected, such as V5.k to gnd');
    return [];
  }
  take(row, only);
  return unfold(found.connections, folded);
}

/** One specification of what several cells say. */
function merge(all: readonly Specification[]): Specification | undefined {
  const [first] = all;
  if (first === undefined || all.length === 1) return first;
  const type = all.find((each) => each.type !== undefined)?.type;
  const fuseSpeed = all.find((each) => each.fuseSpeed !== undefined)?.fuseSpeed;
  const values: Specification['values'][number][] = [];
  const ratings: Rating[] = [];
  const kinds: Word[] = [];
  const windings: Specification['windings'][number][] = [];
  for (const each of all) {
    values.push(...each.values);
    ratings.push(...each.ratings);
    kinds.push(...each.kinds);
    windings.push(...each.windings);
  }
  return {
    span: cover(all.map((each) => each.span)) ?? first.span,
    values,
    ratings,
    kinds,
    type,
    windings,
    fuseSpeed,
  };
}
