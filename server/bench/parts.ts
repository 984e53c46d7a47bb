/** Owns the reading of a specification as a part: its value, ratings, kinds, tolerance, and where it sits. */
import { findCapacitorKind, usualTolerance } from '../catalogue/capacitor-facts.ts';
import { usualResistorTolerance } from '../catalogue/resistor-tolerance.ts';
import type { PartClass, Rating, Ref, Specification } from '../dialect/tree.ts';
import { type Quantity, quantity, type Unit } from '../units/si.ts';
import type { Value, WrittenValue } from '../units/value.ts';
import type { Fitting } from './fitting.ts';
import type { BenchReading, FittedPart, Known } from './model.ts';
import { knownFrom } from './readings.ts';

/** What a part needs that its own line does not say. */
export interface PartContext {
  readonly terminals: ReadonlyMap<string, string>;
  readonly measured: readonly BenchReading[];
  readonly type?: FittedPart['type'];
  readonly valveSection?: FittedPart['valveSection'];
}

const UNIT_OF_VALUE: Partial<Record<PartClass, Unit>> = {
  resistor: 'Ohm',
  potentiometer: 'Ohm',
  thermistor: 'Ohm',
  loudspeaker: 'Ohm',
  capacitor: 'F',
  inductor: 'H',
};

/** One literal with every field: there are very many parts, and all are to be of one shape. */
export function partFrom(fitting: Fitting, context: PartContext): FittedPart {
  const { ref, specification, source, since } = fitting;
  const file = fitting.specificationSource?.file ?? source.file;
  const plain = valuesIn(specification);
  const main = mainValue(ref, plain);
  const resistance =
    UNIT_OF_VALUE[ref.class] === 'Ohm' ? undefined : plain.find(({ quantity: { unit } }) => unit === 'Ohm');
  const impedance =
    ref.class === 'loudspeaker' && main ? main : ratingValue(specification, 'impedance', 'Ohm');
  const kinds = kindsOf(specification);
  const marked = markedTolerance(specification);
  const strings = fitting.connections.find(({ series }) => series)?.together;
  return {
    ref: ref.name,
    whole: ref.whole,
    section: ref.section,
    class: ref.class,
    value: main && knownFrom(main, 'fitted', file),
    measured: context.measured,
    tolerance: marked ?? customary(ref.class, kinds),
    isToleranceMarked: marked !== undefined,
    resistance: resistance && knownAs(resistance, 'Ohm', file),
    impedance: impedance && knownAs(impedance, 'Ohm', file),
    ratings: ratingsOf(ref.class, specification, plain, file),
    kinds,
    type: context.type ?? typeOf(specification, file),
    terminals: context.terminals,
    source,
    since,
    valveSection: context.valveSection,
    specification,
    string: strings !== undefined && strings.length > 1 ? strings : undefined,
  };
}

/** A section that only readings and connections name, as part of the envelope that holds it. */
export function sectionOf({ source, since }: Fitting, ref: Ref): Fitting {
  return {
    ref,
    specification: undefined,
    specificationSource: undefined,
    connections: NONE,
    source,
    since,
    generation: 0,
  };
}

const NONE: readonly never[] = [];

function typeOf(specification: Specification | undefined, file: string): FittedPart['type'] {
  const word = specification?.type;
  return word && { text: word.text, source: { file, span: word.span }, valve: undefined, remark: undefined };
}

function kindsOf(specification: Specification | undefined): readonly string[] {
  return specification?.kinds.map(({ text }) => text.toLowerCase()) ?? NONE;
}

function valuesIn(specification: Specification | undefined): readonly Value[] {
  if (specification === undefined) return NONE;
  const plain: Value[] = [];
  for (const each of specification.values) if (each.kind === 'value') plain.push(each.value);
  return plain;
}

/** The main value of its class; of `C1 = 32+32uF`, `C1B` is the second. */
function mainValue(ref: Ref, plain: readonly Value[]): Value | undefined {
  const unit = UNIT_OF_VALUE[ref.class];
  if (unit === undefined) return undefined;
  const ofUnit = plain.filter(({ quantity: { unit: own } }) => own === unit);
  if (ref.section === undefined || ofUnit.length < 2) return ofUnit[0];
  return ofUnit[Math.max(0, ref.section.toUpperCase().charCodeAt(0) - 'A'.charCodeAt(0))];
}

function knownAs<U extends Unit>(value: Value, unit: U, file: string): Known<U> {
  const { low, high, basis, source } = knownFrom(value, 'fitted', file);
  return {
    quantity: quantity(value.quantity.value, unit),
    low,
    high,
    digit: undefined,
    basis,
    source,
    because: undefined,
    assumptions: undefined,
  };
}

function ratingValue(
  specification: Specification | undefined,
  of: Rating['of'],
  unit: Unit,
): Value | undefined {
  const written: WrittenValue | undefined = specification?.ratings.findLast(
    (rating) => rating.of === of,
  )?.value;
  if (written?.kind !== 'value') return undefined;
  return written.value.quantity.unit === unit ? written.value : undefined;
}

function ratingsOf(
  partClass: PartClass,
  specification: Specification | undefined,
  plain: readonly Value[],
  file: string,
): FittedPart['ratings'] {
  const rated = <U extends Unit>(of: Rating['of'], unit: U): Known<U> | undefined => {
    const value = ratingValue(specification, of, unit);
    return value && knownAs(value, unit, file);
  };
  if (specification === undefined || (specification.ratings.length === 0 && partClass !== 'fuse'))
    return UNRATED;
  // A fuse's current is its value as it is written.
  const fuse = partClass === 'fuse' ? plain.find(({ quantity: { unit } }) => unit === 'A') : undefined;
  return {
    voltage: rated('voltage', 'V'),
    power: rated('power', 'W'),
    current: rated('current', 'A') ?? (fuse && knownAs(fuse, 'A', file)),
    temperature: rated('temperature', 'degC'),
    date: specification.ratings.findLast(({ of }) => of === 'date')?.text,
  };
}

const UNRATED: FittedPart['ratings'] = {
  voltage: undefined,
  power: undefined,
  current: undefined,
  temperature: undefined,
  date: undefined,
};

/** Of parts that are judged by no tolerance: common practice, no source. */
const UNSAID_TOLERANCE = 0.2;

function customary(partClass: PartClass, kinds: readonly string[]): number {
  switch (partClass) {
    case 'resistor':
      return usualResistorTolerance(kinds).share;
    case 'capacitor':
      // Downwards: old cans are made to give more, and nobody is the worse for it.
      return -usualTolerance(findCapacitorKind(kinds)).low;
    default:
      return UNSAID_TOLERANCE;
  }
}

function markedTolerance(specification: Specification | undefined): number | undefined {
  const marked = specification?.ratings.findLast(({ of }) => of === 'tolerance')?.value;
  return marked?.kind === 'value' ? toShare(marked.value.quantity) : undefined;
}

/** A tolerance is a share, or percent where it cannot be one. */
function toShare({ value, unit }: Quantity): number | undefined {
  if (unit !== '1' || !(value > 0)) return undefined;
  return value >= 1 ? value / 100 : value;
}
