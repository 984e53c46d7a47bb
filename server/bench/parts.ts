/** Owns the reading of a specification as a part: its value, ratings, kinds, tolerance, and where it sits. */
import { findCapacitorKind, usualTolerance } from '../catalogue/capacitor-facts.ts';
import { usualResistorTolerance } from '../catalogue/resistor-tolerance.ts';
import type { PartClass, Rating, Ref, Specification } from '../dialect/tree.ts';
import { type Quantity, quantity, type Unit } from '../units/si.ts';
import type { Value, WrittenValue } from '../units/value.ts';
import type { Fitting } from './fitting.ts';
import type { BenchReading, FittedPart, Known, Source } from './model.ts';
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

export function partFrom(fitting: Fitting, context: PartContext): FittedPart {
  const { ref, specification, source, since } = fitting;
  const file = fitting.specificationSource?.file ?? source.file;
  const strings = fitting.connections.find(({ series }) => series)?.together;
  const type = context.type ?? typeOf(specification, file);
  return {
    ref: ref.name,
    whole: ref.whole,
    ...(ref.section !== undefined && { section: ref.section }),
    class: ref.class,
    ...valuesOf(ref, specification, file),
    measured: context.measured,
    ...toleranceOf(ref.class, specification),
    ratings: ratingsOf(ref.class, specification, file),
    kinds: specification?.kinds.map(({ text }) => text.toLowerCase()) ?? [],
    ...(type && { type }),
    terminals: context.terminals,
    source,
    since,
    ...(context.valveSection && { valveSection: context.valveSection }),
    ...(specification && { specification }),
    ...(strings && strings.length > 1 && { string: strings }),
  };
}

/** A section that only readings and connections name, as part of the envelope that holds it. */
export function sectionPart(
  ref: Ref,
  source: Source,
  since: FittedPart['since'],
  context: PartContext,
): FittedPart {
  return partFrom({ ref, connections: [], source, since, generation: 0 }, context);
}

function typeOf(specification: Specification | undefined, file: string): FittedPart['type'] {
  const word = specification?.type;
  return word && { text: word.text, source: { file, span: word.span } };
}

function valuesOf(
  ref: Ref,
  specification: Specification | undefined,
  file: string,
): Pick<FittedPart, 'value' | 'resistance' | 'impedance'> {
  const unit = UNIT_OF_VALUE[ref.class];
  const plain = specification?.values.flatMap((each) => (each.kind === 'value' ? [each.value] : [])) ?? [];
  const main = unit === undefined ? undefined : pick(plain, unit, sectionIndex(ref, plain, unit));
  const resistance = unit === 'Ohm' ? undefined : plain.find(({ quantity: { unit: u } }) => u === 'Ohm');
  const impedance = ratingValue(specification, 'impedance', 'Ohm');
  return {
    ...(main && { value: knownFrom(main, 'fitted', file) }),
    ...(resistance && { resistance: knownAs(resistance, 'Ohm', file) }),
    ...(impedance && { impedance: knownAs(impedance, 'Ohm', file) }),
    ...(ref.class === 'loudspeaker' && main && { impedance: knownAs(main, 'Ohm', file) }),
  };
}

/** `C1 = 32+32uF`: `C1B` is the second value. */
function sectionIndex(ref: Ref, values: readonly Value[], unit: Unit): number {
  const ofUnit = values.filter(({ quantity: { unit: u } }) => u === unit).length;
  if (ref.section === undefined || ofUnit < 2) return 0;
  return ref.section.toUpperCase().charCodeAt(0) - 'A'.charCodeAt(0);
}

function pick(values: readonly Value[], unit: Unit, index: number): Value | undefined {
  return values.filter(({ quantity: { unit: u } }) => u === unit)[Math.max(0, index)];
}

function knownAs<U extends Unit>(value: Value, unit: U, file: string): Known<U> {
  const { low, high, basis, source } = knownFrom(value, 'fitted', file);
  return {
    quantity: quantity(value.quantity.value, unit),
    ...(low !== undefined && { low }),
    ...(high !== undefined && { high }),
    basis,
    ...(source && { source }),
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
  file: string,
): FittedPart['ratings'] {
  const rated = <U extends Unit>(of: Rating['of'], unit: U): Known<U> | undefined => {
    const value = ratingValue(specification, of, unit);
    return value && knownAs(value, unit, file);
  };
  // A fuse's current is its value as it is written.
  const fuse = partClass === 'fuse' ? pick(valuesIn(specification), 'A', 0) : undefined;
  const voltage = rated('voltage', 'V');
  const power = rated('power', 'W');
  const current = rated('current', 'A') ?? (fuse && knownAs(fuse, 'A', file));
  const temperature = rated('temperature', 'degC');
  const date = specification?.ratings.findLast(({ of }) => of === 'date')?.text;
  return {
    ...(voltage && { voltage }),
    ...(power && { power }),
    ...(current && { current }),
    ...(temperature && { temperature }),
    ...(date !== undefined && { date }),
  };
}

function valuesIn(specification: Specification | undefined): readonly Value[] {
  return specification?.values.flatMap((each) => (each.kind === 'value' ? [each.value] : [])) ?? [];
}

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

function toleranceOf(
  partClass: PartClass,
  specification: Specification | undefined,
): Pick<FittedPart, 'tolerance' | 'isToleranceMarked'> {
  const marked = specification?.ratings.findLast(({ of }) => of === 'tolerance')?.value;
  const share = marked?.kind === 'value' ? toShare(marked.value.quantity) : undefined;
  if (share !== undefined) return { tolerance: share, isToleranceMarked: true };
  const kinds = specification?.kinds.map(({ text }) => text.toLowerCase()) ?? [];
  return { tolerance: customary(partClass, kinds), isToleranceMarked: false };
}

/** A tolerance is a share, or percent where it cannot be one. */
function toShare({ value, unit }: Quantity): number | undefined {
  if (unit !== '1' || !(value > 0)) return undefined;
  return value >= 1 ? value / 100 : value;
}
