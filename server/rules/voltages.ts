/** Owns looking up what was read at a node in normal running: the verdict set's last word on it. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { byPoint } from '../bench/readings.ts';

/** The DC volts read to ground at a node (or at any name of it) in the view's verdict set; readings under conditions of their own do not count. */
export function findVolts(view: PhaseView, point: string): BenchReading | undefined {
  let volts = voltsOf.get(view);
  if (volts === undefined) {
    volts = readVolts(view);
    voltsOf.set(view, volts);
  }
  return volts.get(view.circuit.nodeOf(point) ?? point);
}

/** Made once a view: rules ask for the same nodes over and over. */
const voltsOf = new WeakMap<PhaseView, ReadonlyMap<string, BenchReading>>();

function readVolts(view: PhaseView): ReadonlyMap<string, BenchReading> {
  const volts = new Map<string, BenchReading>();
  for (const reading of byPoint(view.readings)) {
    const isPlain =
      reading.quantity === 'voltage' &&
      reading.to === undefined &&
      // A chassis sheet's readings are all what should be: on its own check they are what is judged.
      (!reading.nominal || view.phase === 'factory') &&
      reading.special === undefined;
    if (isPlain && reading.normal && reading.set.id === view.verdictSet?.id)
      volts.set(reading.node ?? reading.at, reading);
  }
  return volts;
}

const onParts = new WeakMap<PhaseView, ReadonlyMap<string, BenchReading>>();

/** The volts across or the amperes through a part itself, in the verdict set. */
export function findOnPart(
  view: PhaseView,
  ref: string,
  quantity: 'voltage' | 'current',
): BenchReading | undefined {
  let known = onParts.get(view);
  if (known === undefined) {
    const found = new Map<string, BenchReading>();
    for (const reading of view.readings) {
      if (reading.to === undefined && reading.normal && reading.set.id === view.verdictSet?.id) {
        found.set(`${reading.quantity} ${reading.at}`, reading);
      }
    }
    onParts.set(view, found);
    known = found;
  }
  return known.get(`${quantity} ${ref}`);
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
