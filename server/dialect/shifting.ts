/**
 * Owns putting what was read of a piece to its place in the sheet: the same blocks and problems with every span shifted.
 * They are copies, so that each place has spans of its own, which may be moved later without asking who else holds them.
 * What a sheet is full of (readings in charts) is copied by its own few lines, and all else by one rule.
 */
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import type { Block, Point, ReadingItem, Ref, Row, Table, Tag, WritingProblem } from './tree.ts';

/** Every span that is made is added to `made`. */
export function shiftBlocks(blocks: readonly Block[], by: number, made: Span[] = []): readonly Block[] {
  const { shiftTable, shiftTag } = createShifter(by, made);
  return shiftAll(blocks, (block): Block => {
    if (block.kind === 'table') return shiftTable(block);
    if (block.kind === 'opaque') return shiftAny(block, by, made);
    return { ...shiftAny({ ...block, tags: [] }, by, made), tags: shiftAll(block.tags, shiftTag) };
  });
}

export function shiftProblems(
  problems: readonly WritingProblem[],
  by: number,
  made: Span[] = [],
): readonly WritingProblem[] {
  return shiftAny(problems, by, made);
}

/** The one rule: a span is whatever has a start and an end that are numbers, wherever it stands. */
export function shiftAny<T>(value: T, by: number, made: Span[] = []): T {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return shiftAll(value, (each) => shiftAny(each, by, made)) as T;
  const tree = value as { readonly [key: string]: unknown };
  if (isSpan(tree)) {
    const span: Span = { start: tree.start + by, end: tree.end + by };
    made.push(span);
    return span as T;
  }
  const shifted: { [key: string]: unknown } = { ...tree };
  for (const key in shifted) {
    const part = shifted[key];
    if (typeof part === 'object' && part !== null) shifted[key] = shiftAny(part, by, made);
  }
  return shifted as T;
}

export function isSpan(tree: object): tree is Span {
  return 'start' in tree && 'end' in tree && typeof tree.start === 'number' && typeof tree.end === 'number';
}

function shiftAll<T>(list: readonly T[], shift: (each: T) => T): readonly T[] {
  if (list.length === 0) return list;
  const shifted: T[] = [];
  for (const each of list) shifted.push(shift(each));
  return shifted;
}

/**
 * Shifts what sheets are full of. Each function must do what the one rule does, which a test holds it to. What the cells
 * of a row have in common (their part, a value's own place and its tag's) is copied once: the copies outlive the
 * keystroke, and the memory is what they cost.
 */
function createShifter(by: number, made: Span[]) {
  let lastRef: Ref | undefined;
  let lastRefShifted: Ref | undefined;
  let lastSpan: Span = { start: -1, end: -1 };

  function span(of: Span): Span {
    const start = of.start + by;
    const end = of.end + by;
    if (lastSpan.start !== start || lastSpan.end !== end) {
      lastSpan = { start, end };
      made.push(lastSpan);
    }
    return lastSpan;
  }

  function shiftTable(table: Table): Table {
    return {
      ...table,
      columns: shiftAny(table.columns, by, made),
      rows: shiftAll(table.rows, shiftRow),
      span: span(table.span),
    };
  }

  function shiftRow(row: Row): Row {
    return {
      ...row,
      tags: shiftAll(row.tags, shiftTag),
      prose: shiftAll(row.prose, span),
      span: span(row.span),
    };
  }

  function shiftTag(tag: Tag): Tag {
    if (tag.remark !== undefined) return shiftAny(tag, by, made);
    if (tag.kind === 'reading' && tag.type === undefined) {
      return {
        ...tag,
        span: span(tag.span),
        conditions: shiftAny(tag.conditions, by, made),
        items: shiftAll(tag.items, shiftItem),
        refs: shiftAll(tag.refs, shiftRef),
      };
    }
    if (tag.kind === 'mention') {
      const points = shiftAll(tag.points, shiftPoint);
      return { ...tag, span: span(tag.span), conditions: shiftAny(tag.conditions, by, made), points };
    }
    return shiftAny(tag, by, made);
  }

  function shiftItem(item: ReadingItem): ReadingItem {
    if (item.to !== undefined || item.then !== undefined) return shiftAny(item, by, made);
    return {
      ...item,
      values: shiftAll(item.values, shiftValue),
      span: span(item.span),
      at: shiftPoint(item.at),
    };
  }

  function shiftValue(written: WrittenValue): WrittenValue {
    if (written.kind !== 'value') return shiftAny(written, by, made);
    return { kind: 'value', value: { ...written.value, span: span(written.value.span) } };
  }

  function shiftPoint(point: Point): Point {
    if (point.kind === 'ref') return shiftRef(point);
    if (point.kind === 'node') return { ...point, span: span(point.span) };
    const ref = shiftRef(point.ref);
    // In a chart the terminal stands where its valve does.
    const isSame = point.span.start === point.ref.span.start && point.span.end === point.ref.span.end;
    return { ...point, ref, span: isSame ? ref.span : span(point.span) };
  }

  function shiftRef(ref: Ref): Ref {
    if (ref === lastRef && lastRefShifted !== undefined) return lastRefShifted;
    lastRef = ref;
    lastRefShifted = { ...ref, span: shiftAny(ref.span, by, made) };
    return lastRefShifted;
  }

  return { shiftTable, shiftTag };
}
