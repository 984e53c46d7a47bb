/** Owns the look-up of what was read in one set: volts at nodes, across parts and between points, and currents. */
import { ask } from '../../sheet/asking.ts';
import { createPicker } from '../../text/picking.ts';
import { quantity } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { BenchReading, FigureInput, FittedPart } from '../model.ts';
import { findByName } from '../read-by-name.ts';
import { byPoint, METER_ERROR, outdoes } from '../readings.ts';
import { input, knownWith } from './figure.ts';

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

const nodesRippling = createPicker(({ quantity: of, node }: BenchReading) =>
  of === 'ripple' ? node : undefined,
);

/** What was read in one set; readings of one `thread` are looked through again only as far as they differ. */
export function readSet(readings: readonly BenchReading[], thread: object = readings): SetReadings {
  const by = findByName(readings, thread);
  const lastOf = (
    candidates: readonly BenchReading[],
    isOne: (reading: BenchReading) => boolean,
    before?: BenchReading,
  ): BenchReading | undefined => {
    let last = before;
    for (const reading of candidates) if (isOne(reading) && outdoes(reading, last)) last = reading;
    return last;
  };
  const atNode = (name: string): BenchReading | undefined =>
    lastOf(by(name), (each) => isDirect(each) && each.node === name && each.toNode === undefined);
  const voltsBetween: SetReadings['voltsBetween'] = (one, other) => {
    if (one === undefined || other === undefined) return undefined;
    ask(one);
    ask(other);
    const isBetween = (each: BenchReading): boolean =>
      isDirect(each) &&
      ((each.node === one && each.toNode === other) || (each.node === other && each.toNode === one));
    const reading = lastOf(by(other), isBetween, lastOf(by(one), isBetween));
    return reading && input('V', `${reading.at} to ${reading.to ?? ''}`, reading.value);
  };
  const voltsAt: SetReadings['voltsAt'] = (node) => {
    if (node === undefined) return undefined;
    if (node === 'gnd') return GROUND;
    ask(node);
    const reading = atNode(node);
    return reading && input('V', reading.at, reading.value);
  };
  return {
    voltsAt,
    asRead: voltsAt,
    voltsOfBoth: (one, other) => {
      const first = voltsAt(one);
      const second = voltsAt(other);
      if (first === undefined || second === undefined) return undefined;
      const digits = [lastDigitOf(atNode(one ?? '')), lastDigitOf(atNode(other ?? ''))] as const;
      const difference = Math.abs(first.known.quantity.value - second.known.quantity.value);
      // Against ground there is one reading, and its digits say themselves how fine it is.
      const isCoarse = one !== 'gnd' && other !== 'gnd' && digits[0] + digits[1] > COARSE * difference;
      if (!isCoarse) return [first, second];
      return [widened(first, digits[0]), widened(second, digits[1])];
    },
    voltsAcross: (part) => {
      ask(part.ref);
      const own = lastOf(
        by(part.ref),
        (each) => isDirect(each) && each.at === part.ref && each.node === undefined && each.to === undefined,
      );
      if (own !== undefined) return input('V', part.ref, own.value);
      const ends = endsOf(part);
      return ends && voltsBetween(...ends);
    },
    voltsBetween,
    currentAt: (name) => {
      if (name === undefined) return undefined;
      ask(name);
      const reading = lastOf(
        by(name),
        (each) => each.quantity === 'current' && each.at === name && each.toNode === undefined,
      );
      return reading && input('I', reading.at, reading.value);
    },
    ripplesAt: (node) => {
      ask(node);
      return byPoint(
        by(node).filter(
          (each) => each.quantity === 'ripple' && each.node === node && each.toNode === undefined,
        ),
      );
    },
    rippling: () => {
      ask(ANYTHING);
      return [...new Set(nodesRippling(readings, thread))];
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
  return input(of.symbol, of.name, knownWith(known, known.quantity, value - by, value + by), of.isOwn);
}

function isDirect({ quantity: of, wave }: BenchReading): boolean {
  return of === 'voltage' && wave === undefined;
}
