/**
 * Owns what the tag grammar does with written values: scanning one with what the class of part makes likely, and making
 * the value of a spelling that the writer shortened (`32+32uF`: the first 32 has its unit further on).
 */
import type { Span } from '../text/span.ts';
import type { PartClassLike } from '../units/notation.ts';
import { scanValue } from '../units/scan.ts';
import type { Unit } from '../units/si.ts';
import { type WrittenValue, writtenAt } from '../units/value.ts';
import type { PartClass, WritingProblem } from './tree.ts';

export interface ScannedValue {
  readonly written: WrittenValue;
  readonly end: number;
}

/** The value at `at`; `bareUnit` is what a number without a unit means there, if anything. */
export function scanWritten(
  text: string,
  at: number,
  bareUnit: Unit | undefined,
  partClass: PartClass | undefined,
): ScannedValue | undefined {
  const likeness = likenessOf(partClass);
  const scanned = scanValue(
    text,
    at,
    bareUnit === undefined ? { partClass: likeness } : { bareUnit, partClass: likeness },
  );
  return scanned === undefined || scanned.end <= at ? undefined : scanned;
}

/** The classes whose values read differently are four; a pot's reads as a resistor's. */
function likenessOf(partClass: PartClass | undefined): PartClassLike {
  switch (partClass) {
    case 'resistor':
    case 'potentiometer':
    case 'thermistor':
      return 'resistor';
    case 'capacitor':
      return 'capacitor';
    case 'inductor':
      return 'inductor';
    default:
      return 'other';
  }
}

/** The value of `meaning`, standing where `span` is: for spellings whose unit stands elsewhere. */
export function writtenAs(
  text: string,
  span: Span,
  meaning: string,
  bareUnit: Unit | undefined,
  partClass: PartClass | undefined,
): WrittenValue {
  const spelling = text.slice(span.start, span.end);
  const scanned = scanWritten(meaning, 0, bareUnit, partClass);
  if (scanned === undefined) return { kind: 'unread', spelling, span };
  const { written } = scanned;
  return written.kind === 'value'
    ? { kind: 'value', value: writtenAt(written.value, spelling, span) }
    : { ...written, spelling, span };
}

export function spanOfWritten(written: WrittenValue): Span {
  return written.kind === 'value' ? written.value.span : written.span;
}

/** The unit of a value that is one plain number. */
export function unitOf(written: WrittenValue): Unit | undefined {
  return written.kind === 'value' ? written.value.quantity.unit : undefined;
}

/** What the writer is told of each value with more than one meaning. */
export function ambiguities(values: readonly WrittenValue[]): WritingProblem[] {
  const problems: WritingProblem[] = [];
  for (const written of values) {
    if (written.kind !== 'ambiguous') continue;
    const { meanings, because, span, spelling } = written;
    const sayings = meanings.map(({ saying }) => saying).join(' or ');
    problems.push({
      kind: 'value-ambiguous',
      span,
      message: `${spelling} can mean ${sayings}; ${because}`,
      offers: meanings.map(({ saying, plainly }) => ({ saying, edit: { span, text: plainly } })),
    });
  }
  return problems;
}
