/** Owns looking up what was read at a node in normal running: the verdict set's last word on it. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { readingsBy } from '../bench/read-by-name.ts';
import { outdoes } from '../bench/readings.ts';
import { ask, isAsking } from '../sheet/asking.ts';
import { unwatched, wholeOf } from '../sheet/watching.ts';

/** The DC volts read to ground at a node (or at any name of it) in the view's verdict set; readings under conditions of their own do not count. */
export function findVolts(view: PhaseView, point: string): BenchReading | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  const { phase } = view;
  let last: BenchReading | undefined;
  for (const reading of readIn(view, node)) {
    // A chassis sheet's readings are all what should be: on its own check they are what is judged.
    const isJudged = !reading.nominal || phase === 'factory';
    if (reading.quantity !== 'voltage' || !isJudged || reading.special !== undefined) continue;
    if ((reading.node ?? reading.at) === node && outdoes(reading, last)) last = reading;
  }
  return last;
}

/** The volts across or the amperes through a part itself, in the verdict set. */
export function findOnPart(
  view: PhaseView,
  ref: string,
  quantity: 'voltage' | 'current',
): BenchReading | undefined {
  return readIn(view, ref).findLast((reading) => reading.quantity === quantity && reading.at === ref);
}

/** What was read by a name in the verdict set, to ground or on the part itself, in normal running. */
function readIn(view: PhaseView, name: string): readonly BenchReading[] {
  const { verdictSet } = view;
  if (isAsking()) ask(name);
  // Whoever does not go from thing to thing looks at all of them.
  const own = isAsking() ? unwatched(view) : wholeOf(view);
  return readingsBy(own, name).filter(
    ({ to, normal, set }) => to === undefined && normal && set.id === verdictSet?.id,
  );
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
