/** Owns looking up what was read at a node in normal running: the verdict set's last word on it. */
import type { BenchReading, PhaseView } from '../bench/model.ts';

/** The DC volts read to ground at a node (or at any name of it) in the view's verdict set; readings under conditions of their own do not count. */
export function findVolts(view: PhaseView, point: string): BenchReading | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  return view.readings.findLast(
    (reading) =>
      reading.quantity === 'voltage' &&
      reading.to === undefined &&
      !reading.nominal &&
      reading.special === undefined &&
      reading.normal &&
      reading.set.id === view.verdictSet?.id &&
      (reading.node ?? reading.at) === node,
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
