/** Owns looking up what was read at a node in normal running: the verdict set's last word on it. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { outdoes } from '../bench/readings.ts';
import { ask, isAsking } from '../sheet/asking.ts';
import { unwatched, wholeOf } from '../sheet/watching.ts';

/** The DC volts read to ground at a node (or at any name of it) in the view's verdict set; readings under conditions of their own do not count. */
export function findVolts(view: PhaseView, point: string): BenchReading | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  return readIn(view, node).volts.get(node);
}

/** The volts across or the amperes through a part itself, in the verdict set. */
export function findOnPart(
  view: PhaseView,
  ref: string,
  quantity: 'voltage' | 'current',
): BenchReading | undefined {
  return readIn(view, ref).onPart.get(`${quantity} ${ref}`);
}

/** What was read in a verdict set: the last word on each node, and on each part or point itself. */
interface Read {
  readonly volts: ReadonlyMap<string, BenchReading>;
  readonly onPart: ReadonlyMap<string, BenchReading>;
}

/** Made once a view: rules ask for the same nodes over and over. */
const readOf = new WeakMap<PhaseView, Read>();

/** What was read in a view, of which only what hangs on `name` is looked at. */
function readIn(view: PhaseView, name: string): Read {
  const { verdictSet, phase } = view;
  if (isAsking()) ask(name);
  // Whoever does not go from thing to thing looks at all of them.
  const own = isAsking() ? unwatched(view) : wholeOf(view);
  const known = readOf.get(own);
  if (known !== undefined) return known;
  const volts = new Map<string, BenchReading>();
  const onPart = new Map<string, BenchReading>();
  for (const reading of own.readings) {
    if (reading.to !== undefined || !reading.normal || reading.set.id !== verdictSet?.id) continue;
    onPart.set(`${reading.quantity} ${reading.at}`, reading);
    // A chassis sheet's readings are all what should be: on its own check they are what is judged.
    const isJudged = !reading.nominal || phase === 'factory';
    if (reading.quantity !== 'voltage' || !isJudged || reading.special !== undefined) continue;
    const node = reading.node ?? reading.at;
    if (outdoes(reading, volts.get(node))) volts.set(node, reading);
  }
  const read = { volts, onPart };
  readOf.set(own, read);
  return read;
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
