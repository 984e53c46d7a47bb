/** Owns readings with their meaning in the circuit: at which node, in which set, and how exact a meter can have been. */
import type { Point } from '../dialect/tree.ts';
import {
  type Phase,
  plainValue,
  type ReadingSet,
  type ReadingStatement,
  type Sheet,
} from '../sheet/model.ts';
import { differenceOf } from '../text/stretch.ts';
import { type Quantity, quantity, type Unit } from '../units/si.ts';
import type { Value, WrittenValue } from '../units/value.ts';
import { type Basis, type BenchReading, type Circuit, type Known, OPEN_OHMS, type Source } from './model.ts';
import { compareNames, type FindElectrode, nameOfPoint } from './points.ts';

/** A bench meter's own error as a share of what it reads. */
export const METER_ERROR = 0.01;

/**
 * Readings so that a later one outdoes an earlier at the same node: as written where it is the same point, whose last word counts;
 * of a node's several points the first by name speaks, wherever it was written.
 */
export function byPoint(readings: readonly BenchReading[]): readonly BenchReading[] {
  return [...readings].sort((a, b) => (a.at === b.at ? 0 : compareNames(b.at, a.at)));
}

/** Whether a reading counts at its node, where another that stood before it in the text counted so far: by the order of `byPoint`. */
export function outdoes(reading: BenchReading, before: BenchReading | undefined): boolean {
  return before === undefined || before.at === reading.at || compareNames(reading.at, before.at) < 0;
}

/** All that is known by this reading: the place as written, the node there, and the same of its other end. */
export function namesOfReading({ at, node, to, toNode }: BenchReading): readonly string[] {
  return [at, node, to, toNode].filter((name) => name !== undefined);
}

/** All names of readings that are in one list and not in the other, or stand otherwise among them. */
export function namesBetween(before: readonly BenchReading[], after: readonly BenchReading[]): Set<string> {
  const { gone, come } = differenceOf(before, after);
  const names = new Set<string>();
  for (const reading of [...gone, ...come]) for (const name of namesOfReading(reading)) names.add(name);
  return names;
}

/** A written value as a number that knows its source; about and range widen it. */
export function knownFrom(value: Value, basis: Basis, file: string): Known {
  const { sureness, low, high } = value;
  const widened =
    (sureness === 'about' || sureness === 'range') && Number.isFinite(low) && Number.isFinite(high);
  return {
    quantity: value.quantity,
    low: widened ? low : undefined,
    high: widened ? high : undefined,
    digit: sureness === 'exact' ? high - low : undefined,
    basis,
    source: { file, span: value.span },
    because: undefined,
    assumptions: undefined,
  };
}

const NO_SET: Omit<ReadingSet, 'phase' | 'span'> = {
  id: 0,
  conditions: [],
  limited: false,
  off: false,
  normal: true,
};

/** What of a sheet its readings go by. */
type ReadingsOf = Pick<Sheet, 'uri' | 'sets'>;

/**
 * A reading of a sheet in its circuit; planned ones and those that cannot be read as one number are left out. The same object
 * for the same statement in the same circuit, where it is kept for whoever asks again.
 */
export function benchReading(
  statement: ReadingStatement,
  sheet: ReadingsOf,
  phase: Phase,
  circuit: Circuit,
  findElectrode: FindElectrode,
  nominal: boolean,
  isKept: boolean,
): BenchReading | undefined {
  const set = setOf(sheet, statement, phase);
  if (!isKept) return placeReading(statement, sheet, set, phase, circuit, findElectrode, nominal);
  const kept = placed.get(statement) ?? [];
  const known = kept.find(
    (each) =>
      each.circuit === circuit &&
      each.findElectrode === findElectrode &&
      each.set === set &&
      each.phase === phase &&
      each.nominal === nominal,
  );
  if (known !== undefined) return known.reading;
  const reading = placeReading(statement, sheet, set, phase, circuit, findElectrode, nominal);
  placed.set(
    statement,
    [{ circuit, findElectrode, set, phase, nominal, reading }, ...kept].slice(0, KEPT_PLACES),
  );
  return reading;
}

interface Placed {
  readonly circuit: Circuit;
  readonly findElectrode: FindElectrode;
  readonly set: ReadingSet;
  readonly phase: Phase;
  readonly nominal: boolean;
  readonly reading: BenchReading | undefined;
}

/** A statement is placed in the circuit of its own phase, and again in later ones if it is of a part. */
const placed = new WeakMap<ReadingStatement, readonly Placed[]>();
const KEPT_PLACES = 6;

function placeReading(
  statement: ReadingStatement,
  sheet: ReadingsOf,
  set: ReadingSet,
  phase: Phase,
  circuit: Circuit,
  findElectrode: FindElectrode,
  nominal: boolean,
): BenchReading | undefined {
  const [first, second] = statement.values;
  const read = numberOf(first, statement, sheet.uri);
  if (read === undefined) return undefined;
  const plain = plainValue(first);
  const other = plainValue(second);
  // The number itself, so that what is said of it points at no more than must be looked at.
  const source: Source = {
    file: sheet.uri,
    span: (first?.kind === 'value' ? first.value.span : first?.span) ?? statement.span,
  };
  const { to } = statement;
  const at = nameOf(statement.at, findElectrode);
  const toName = to && nameOf(to, findElectrode);
  // One literal with every field: there are very many readings, and all are to be of one shape.
  return {
    at,
    node: nodeOf(statement.at, at, circuit),
    to: toName,
    toNode: to && toName !== undefined ? nodeOf(to, toName, circuit) : undefined,
    quantity: statement.quantity,
    value: read.known,
    uncertainty: uncertaintyOf(plain),
    wave: plain?.wave,
    frequency: statement.frequency,
    set,
    phase,
    nominal,
    special: read.special,
    atVolts: statement.atVolts,
    second: other && knownFrom(other, 'read', sheet.uri),
    conditions: statement.conditions,
    normal: set.normal,
    source,
  };
}

/** Half of the last digit and the meter's own error, added. */
function uncertaintyOf(value: Value | undefined): number {
  if (value === undefined) return 0;
  const { low, high } = value;
  const half = Number.isFinite(low) && Number.isFinite(high) ? Math.abs(high - low) / 2 : 0;
  return half + METER_ERROR * Math.abs(value.quantity.value);
}

function numberOf(
  written: WrittenValue | undefined,
  statement: ReadingStatement,
  file: string,
): { known: Known; special?: 'open' | 'short' } | undefined {
  if (written === undefined) return undefined;
  if (written.kind === 'value') return { known: knownFrom(written.value, 'read', file) };
  if (written.kind !== 'open' && written.kind !== 'short') return undefined;
  const asOhms: Quantity<Unit> = quantity(written.kind === 'open' ? OPEN_OHMS : 0, 'Ohm');
  const isResistance = statement.quantity === 'resistance' || statement.quantity === 'insulation';
  if (!isResistance) return undefined;
  return {
    known: {
      quantity: asOhms,
      low: undefined,
      high: undefined,
      digit: undefined,
      basis: 'read',
      source: { file, span: written.span },
      because: undefined,
      assumptions: undefined,
    },
    special: written.kind,
  };
}

const noSets = new WeakMap<ReadingStatement, ReadingSet>();
const setsById = new WeakMap<readonly ReadingSet[], ReadonlyMap<number, ReadingSet>>();

function setOf({ sets: all }: ReadingsOf, statement: ReadingStatement, phase: Phase): ReadingSet {
  let sets = setsById.get(all);
  if (sets === undefined) {
    sets = new Map(all.map((set) => [set.id, set]));
    setsById.set(all, sets);
  }
  const found = sets.get(statement.set);
  if (found !== undefined) return found;
  const known = noSets.get(statement);
  if (known?.phase === phase) return known;
  const none: ReadingSet = { ...NO_SET, phase, span: statement.span };
  noSets.set(statement, none);
  return none;
}

/** A bare ref is the part itself, not one of its ends. */
function nameOf(point: Point, findElectrode: FindElectrode): string {
  return point.kind === 'ref' ? point.name : nameOfPoint(point, findElectrode).name;
}

function nodeOf(point: Point, name: string, circuit: Circuit): string | undefined {
  return point.kind === 'ref' ? undefined : (circuit.nodeOf(name) ?? name);
}
