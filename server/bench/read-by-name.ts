/** Owns finding readings by a name: what was written at it, and what was read at the node that it is. */

import { differenceOf } from '../text/stretch.ts';
import type { BenchReading, PhaseView } from './model.ts';

interface Index {
  readings: readonly BenchReading[];
  readonly byName: Map<string, BenchReading[]>;
}

/** Of the readings of each thread that were asked for last: the next are indexed again as far as they differ. */
const indexOf = new WeakMap<object, Index>();

/** Finds the readings whose point is written so, or lies at the node of this name, in order. */
export function findByName(
  readings: readonly BenchReading[],
  thread: object,
): (name: string) => readonly BenchReading[] {
  const index = indexOf.get(thread) ?? { readings: [], byName: new Map() };
  indexOf.set(thread, index);
  return (name) => {
    if (index.readings !== readings) indexAgain(index, readings);
    return index.byName.get(name) ?? NONE;
  };
}

type ReadIn = Pick<PhaseView, 'readings' | 'thread'>;

/** The readings of a phase by a name. */
export function readingsBy(view: ReadIn, name: string): readonly BenchReading[] {
  return findReadingsBy(view)(name);
}

/** The same, for whoever asks for many names. */
export function findReadingsBy({
  readings,
  thread = readings,
}: ReadIn): (name: string) => readonly BenchReading[] {
  return findByName(readings, thread);
}

const NONE: readonly BenchReading[] = [];

function indexAgain(index: Index, readings: readonly BenchReading[]): void {
  const { byName } = index;
  if (index.readings.length === 0) {
    index.readings = readings;
    byName.clear();
    for (const reading of readings) {
      const { at, node } = reading;
      put(byName, at, reading);
      if (node !== undefined && node !== at) put(byName, node, reading);
    }
    return;
  }
  const { gone, come } = differenceOf(index.readings, readings);
  index.readings = readings;
  const isGone = new Set(gone);
  for (const name of gone.flatMap(namesOf)) {
    const left = byName.get(name)?.filter((reading) => !isGone.has(reading)) ?? [];
    if (left.length === 0) byName.delete(name);
    else byName.set(name, left);
  }
  // Where something else is read by the name as well, all are looked for again, for their order.
  const mixed = new Set(come.flatMap(namesOf).filter((name) => byName.has(name)));
  for (const name of mixed) byName.delete(name);
  const from = mixed.size === 0 ? come : readings;
  const isCome = new Set(come);
  for (const reading of from)
    for (const name of namesOf(reading))
      if (mixed.has(name) || isCome.has(reading)) put(byName, name, reading);
}

function put(byName: Index['byName'], name: string, reading: BenchReading): void {
  const list = byName.get(name);
  if (list === undefined) byName.set(name, [reading]);
  else list.push(reading);
}

function namesOf({ at, node }: BenchReading): readonly string[] {
  return node === undefined || node === at ? [at] : [at, node];
}
