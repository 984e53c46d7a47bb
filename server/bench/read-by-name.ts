/** Owns finding the readings of a phase by a name: what was written at it, and what was read at the node that it is. */
import { differenceOf } from '../sheet/asking.ts';
import type { Phase } from '../sheet/model.ts';
import type { BenchReading, Circuit, PhaseView } from './model.ts';

interface Index {
  readings: readonly BenchReading[];
  readonly byName: Map<string, BenchReading[]>;
}

/** Of the readings that were asked for last in a phase of a circuit; those of others are indexed again, as far as they differ. */
const indexOf = new WeakMap<Circuit, Map<Phase, Index>>();

/** The readings whose point is written so, or lies at the node of this name, in order. */
export function readingsBy({ circuit, phase, readings }: PhaseView, name: string): readonly BenchReading[] {
  const byPhase = indexOf.get(circuit) ?? new Map<Phase, Index>();
  indexOf.set(circuit, byPhase);
  let index = byPhase.get(phase);
  if (index === undefined) {
    index = { readings: [], byName: new Map() };
    byPhase.set(phase, index);
  }
  if (index.readings !== readings) indexAgain(index, readings);
  return index.byName.get(name) ?? NONE;
}

const NONE: readonly BenchReading[] = [];

function indexAgain(index: Index, readings: readonly BenchReading[]): void {
  const { gone, come } = differenceOf(index.readings, readings);
  const touched = new Set<string>();
  for (const { at, node } of [...gone, ...come]) touched.add(at).add(node ?? at);
  const isAll = index.readings.length === 0;
  index.readings = readings;
  for (const name of touched) index.byName.delete(name);
  const put = (name: string, reading: BenchReading): void => {
    const list = index.byName.get(name);
    if (list === undefined) index.byName.set(name, [reading]);
    else list.push(reading);
  };
  for (const reading of readings) {
    const { at, node } = reading;
    if (isAll || touched.has(at)) put(at, reading);
    if (node !== undefined && node !== at && (isAll || touched.has(node))) put(node, reading);
  }
}
