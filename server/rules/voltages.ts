/** Owns looking up what was read at a node in normal running: the verdict set's last word on it. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { readingsBy } from '../bench/read-by-name.ts';
import { outdoes } from '../bench/readings.ts';
import { ask, isAsking } from '../sheet/asking.ts';
import { unwatched, wholeOf } from '../sheet/watching.ts';

/** The DC volts read to ground at a node (or at any name of it) in the view's verdict set; readings under conditions of their own do not count. */
export function findVolts(view: PhaseView, point: string): BenchReading | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  if (!isAsking()) return readInAll(view).volts.get(node);
  let last: BenchReading | undefined;
  for (const reading of askFor(view, node))
    if (nodeRead(view, reading) === node && outdoes(reading, last)) last = reading;
  return last;
}

/** The volts across or the amperes through a part itself, in the verdict set. */
export function findOnPart(
  view: PhaseView,
  ref: string,
  quantity: 'voltage' | 'current',
): BenchReading | undefined {
  if (!isAsking()) return readInAll(view)[quantity].get(ref);
  return askFor(view, ref).findLast(
    (reading) => reading.at === ref && reading.quantity === quantity && isVerdict(view, reading),
  );
}

/** Whether it was read in the verdict set, to ground or on the part itself, in normal running. */
function isVerdict({ verdictSet }: PhaseView, { to, normal, set }: BenchReading): boolean {
  return to === undefined && normal && set.id === verdictSet?.id;
}

/** Where a reading tells the volts to ground, if it does. */
function nodeRead(view: PhaseView, reading: BenchReading): string | undefined {
  // A chassis sheet's readings are all what should be: on its own check they are what is judged.
  const isJudged = !reading.nominal || view.phase === 'factory';
  const tells =
    reading.quantity === 'voltage' && isJudged && reading.special === undefined && isVerdict(view, reading);
  return tells ? (reading.node ?? reading.at) : undefined;
}

/** What was read by a name: whoever goes from thing to thing looks at that alone. */
function askFor(view: PhaseView, name: string): readonly BenchReading[] {
  ask(name);
  return readingsBy(unwatched(view), name);
}

interface ReadInAll {
  /** By node. */
  readonly volts: ReadonlyMap<string, BenchReading>;
  /** On parts themselves, by ref. */
  readonly voltage: ReadonlyMap<string, BenchReading>;
  readonly current: ReadonlyMap<string, BenchReading>;
}

const readInAllOf = new WeakMap<PhaseView, ReadInAll>();

/** All that the verdict set tells, for those who do not go from thing to thing. */
function readInAll(watched: PhaseView): ReadInAll {
  const view = wholeOf(watched);
  const known = readInAllOf.get(view);
  if (known !== undefined) return known;
  const volts = new Map<string, BenchReading>();
  const onParts = { voltage: new Map<string, BenchReading>(), current: new Map<string, BenchReading>() };
  for (const reading of view.readings) {
    const { at, quantity } = reading;
    const node = nodeRead(view, reading);
    if (node !== undefined && outdoes(reading, volts.get(node))) volts.set(node, reading);
    if ((quantity === 'voltage' || quantity === 'current') && isVerdict(view, reading))
      onParts[quantity].set(at, reading);
  }
  const all = { volts, ...onParts };
  readInAllOf.set(view, all);
  return all;
}

/** The same while something was lifted, pulled or swapped: evidence, not a verdict. */
export function findVoltsUnder(
  view: PhaseView,
  point: string,
  kind: 'lifted' | 'out',
  ref: string,
): BenchReading | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  return view.readings.findLast(
    (reading) =>
      reading.quantity === 'voltage' &&
      reading.to === undefined &&
      (reading.node ?? reading.at) === node &&
      [...reading.set.conditions, ...reading.conditions].some(
        (condition) =>
          condition.kind === kind && condition.refs.some((each) => each.name === ref || each.whole === ref),
      ),
  );
}

/** What a volt meter alone may have put above a limit, as a share of it: 311 V over 10.6 V is the 300 V of the sheet (common practice, no source). */
export const METER_SLACK = 0.005;
