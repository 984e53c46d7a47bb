/** Owns the reading of what a cell of a chart or list says was read: one clause, what it should be, and a remark. */
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import { foldInPlace, unfold } from './folding.ts';
import { skipSpace } from './gaps.ts';
import { classAt, quantityAt } from './quantities.ts';
import { type Clause, itemOf, type Label, scanClause, unitIs } from './reading-clause.ts';
import type { Point, ReadingItem, Word, WritingProblem } from './tree.ts';
import { scanWritten } from './written.ts';

export interface CellRead {
  readonly item: ReadingItem;
  /** `184 (192)`: what it should be, written beside what was read. */
  readonly reference?: WrittenValue;
  readonly remark?: Word;
  readonly problems: readonly WritingProblem[];
}

/**
 * What a cell says was read at `at`; undefined for one that was not read or cannot be. `quantity` is the column's, where
 * its heading says one (`mA`, `k mV`): its unit is then a bare number's.
 */
export function readValueFor(
  at: Point,
  columnUnit: string | undefined,
  sheetText: string,
  span: Span,
): CellRead | undefined {
  const folded = foldInPlace(sheetText, span);
  const text = folded.text.trimEnd();
  const from = skipSpace(text, folded.from);
  const bare = columnUnit === undefined ? null : BARE_CELL.exec(text.slice(from));
  const label: Label = { points: [at], to: undefined };
  const clause =
    bare !== null && columnUnit !== undefined
      ? readBareIn(text, from, bare[1] ?? '', columnUnit, label)
      : scanClause(text, from, label);
  const item = clause?.items[0];
  if (clause === undefined || item === undefined) return undefined;
  const bracket = /^\s*\(\s*/.exec(text.slice(clause.end));
  let reference: WrittenValue | undefined;
  let { end } = clause;
  if (bracket !== null) {
    const found = scanWritten(
      text,
      end + bracket[0].length,
      unitIs(item.values[0] ?? { kind: 'unread', spelling: '', span }),
      classAt(at, undefined),
    );
    const closing = found === undefined ? null : /^\s*\)/.exec(text.slice(found.end));
    if (found !== undefined && closing !== null) {
      reference = found.written;
      end = found.end + closing[0].length;
    }
  }
  const rest = text.slice(end).trim();
  const start = skipSpace(text, end);
  const remark = rest === '' ? undefined : { text: rest, span: { start, end: start + rest.length } };
  const { to, quantity, frequency, atVolts } = item;
  const then = unfold(item.then, folded);
  const values = unfold(item.values, folded);
  return {
    // The point's own span stands in the row's first cell or the column's heading.
    item: itemOf(at, to, quantity, values, unfold(item.span, folded), then, frequency, atVolts),
    reference: unfold(reference, folded),
    remark: unfold(remark, folded),
    problems: unfold(clause.problems, folded),
  };
}

const BARE_CELL = /^([-+~<>]?\s?[\d.,]+)(?=\s*(?:$|\(|->))/;

/** A bare number in a column that names its unit. */
function readBareIn(
  text: string,
  at: number,
  number: string,
  unit: string,
  label: Label,
): Clause | undefined {
  const point = label.points[0];
  if (point === undefined) return undefined;
  const scanned = scanWritten(`${number.trimEnd()} ${unit}`, 0, undefined, undefined);
  if (scanned?.written.kind !== 'value') return scanClause(text, at, label);
  const span = { start: at, end: at + number.trimEnd().length };
  const value: WrittenValue = {
    kind: 'value',
    value: { ...scanned.written.value, unitWritten: false, spelling: number.trimEnd(), span },
  };
  const quantity = quantityAt(point, label.to, value);
  if (quantity === undefined) return undefined;
  return { items: [itemOf(point, undefined, quantity, [value], span)], problems: [], end: span.end };
}
