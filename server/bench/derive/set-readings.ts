/** Owns the look-up of what was read in one set: volts at nodes, across parts and between points, and currents. */
import { ask } from '../../sheet/asking.ts';
import { quantity } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { BenchReading, FigureInput, FittedPart } from '../model.ts';
import { byPoint, METER_ERROR, outdoes } from '../readings.ts';
import { input } from './figure.ts';

export interface SetReadings {
  /** Direct volts of a node to ground; ground itself is known. */
  readonly voltsAt: (node: string | undefined) => FigureInput | undefined;
  /** The same as the meter showed it, whatever the meter itself took away. */
  readonly asRead: (node: string | undefined) => FigureInput | undefined;
  /** Volts across a part: read on it, or between its two ends as a reading of its own; a magnitude. */
  readonly voltsAcross: (part: FittedPart) => FigureInput | undefined;
  /** Volts of two nodes whose difference is wanted, with their last digits as a band where those make the difference coarse. */
  readonly voltsOfBoth: (
    one: string | undefined,
    other: string | undefined,
  ) => readonly [FigureInput, FigureInput] | undefined;
  readonly voltsBetween: (one: string | undefined, other: string | undefined) => FigureInput | undefined;
  /** Current read on a part (`R17: 38 mA`, `V5: 38 mA`) or flowing into a point (`V5.g2: 4 mA`). */
  readonly currentAt: (name: string | undefined) => FigureInput | undefined;
  /** Everything read at a node that alternates. */
  readonly ripplesAt: (node: string) => readonly BenchReading[];
  /** Nodes where anything alternates, in the order of their readings. */
  readonly rippling: () => readonly string[];
}

/** A difference that the last digits may shift by more than this share of itself is told as a band. */
const COARSE = 0.1;

/** Ground is 0 V by what the word means. */
const GROUND: FigureInput = input('0', 'gnd', {
  quantity: quantity(0, 'V'),
  basis: 'read',
  because: 'ground',
});

export function readSet(readings: readonly BenchReading[]): SetReadings {
  const atNode = new Map<string, BenchReading>();
  const onPart = new Map<string, BenchReading>();
  const between = new Map<string, BenchReading>();
  const currents = new Map<string, BenchReading>();
  const ripples = new Map<string, BenchReading[]>();
  const rippling = new Set<string>();
  const put = (into: Map<string, BenchReading>, key: string, reading: BenchReading): void => {
    if (outdoes(reading, into.get(key))) into.set(key, reading);
  };
  for (const reading of readings) {
    const { quantity: of, at, node, toNode, wave } = reading;
    if (of === 'ripple' && node !== undefined) rippling.add(node);
    if (of === 'current' && toNode === undefined) {
      put(currents, at, reading);
    } else if (of === 'ripple' && node !== undefined && toNode === undefined) {
      const list = ripples.get(node);
      if (list === undefined) ripples.set(node, [reading]);
      else list.push(reading);
    } else if (of === 'voltage' && wave === undefined) {
      if (toNode !== undefined && node !== undefined) put(between, pairOf(node, toNode), reading);
      else if (node !== undefined) put(atNode, node, reading);
      else if (reading.to === undefined) put(onPart, at, reading);
    }
  }
  const voltsBetween: SetReadings['voltsBetween'] = (one, other) => {
    if (one === undefined || other === undefined) return undefined;
    ask(one);
    ask(other);
    const reading = between.get(pairOf(one, other));
    return reading && input('V', `${reading.at} to ${reading.to ?? ''}`, reading.value);
  };
  const voltsAt: SetReadings['voltsAt'] = (node) => {
    if (node === undefined) return undefined;
    if (node === 'gnd') return GROUND;
    ask(node);
    const reading = atNode.get(node);
    return reading && input('V', reading.at, reading.value);
  };
  return {
    voltsAt,
    asRead: voltsAt,
    voltsOfBoth: (one, other) => {
      const first = voltsAt(one);
      const second = voltsAt(other);
      if (first === undefined || second === undefined) return undefined;
      const digits = [lastDigitOf(atNode.get(one ?? '')), lastDigitOf(atNode.get(other ?? ''))] as const;
      const difference = Math.abs(first.known.quantity.value - second.known.quantity.value);
      // Against ground there is one reading, and its digits say themselves how fine it is.
      const isCoarse = one !== 'gnd' && other !== 'gnd' && digits[0] + digits[1] > COARSE * difference;
      if (!isCoarse) return [first, second];
      return [widened(first, digits[0]), widened(second, digits[1])];
    },
    voltsAcross: (part) => {
      ask(part.ref);
      const own = onPart.get(part.ref);
      if (own !== undefined) return input('V', part.ref, own.value);
      const ends = endsOf(part);
      return ends && voltsBetween(...ends);
    },
    voltsBetween,
    currentAt: (name) => {
      ask(name);
      const reading = name === undefined ? undefined : currents.get(name);
      return reading && input('I', reading.at, reading.value);
    },
    ripplesAt: (node) => {
      ask(node);
      return byPoint(ripples.get(node) ?? []);
    },
    rippling: () => {
      ask(ANYTHING);
      return [...rippling];
    },
  };
}

/** Asked for by whoever looks at all that was read: it is touched by whatever is read otherwise. */
export const ANYTHING = '*';

/** Half of the last digit: the meter's own error is common to both readings of a difference. */
function lastDigitOf(reading: BenchReading | undefined): number {
  if (reading === undefined) return 0;
  return Math.max(0, reading.uncertainty - METER_ERROR * Math.abs(reading.value.quantity.value));
}

function widened(of: FigureInput, by: number): FigureInput {
  const { known } = of;
  if (known.low !== undefined) return of;
  const { value } = known.quantity;
  return { ...of, known: { ...known, low: value - by, high: value + by } };
}

function pairOf(one: string, other: string): string {
  return one < other ? `${one} ${other}` : `${other} ${one}`;
}

/** The same input under another symbol. */
export function as(symbol: string, given: FigureInput): FigureInput {
  return { ...given, symbol };
}
