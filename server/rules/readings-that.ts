/** Owns looking only at certain readings of a phase: a rule that asks for these is not run again for the others. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { isWatched, lookUpIn } from '../sheet/watching.ts';
import { createPicker, type Picker } from '../text/picking.ts';

/** The readings of a view that are of one kind, in order. `kind` is its name among all kinds; `isOne` goes by the reading alone. */
export function readingsThat(
  view: PhaseView,
  kind: string,
  isOne: (reading: BenchReading) => boolean,
): readonly BenchReading[] {
  if (!isWatched(view)) return view.readings.filter(isOne);
  let picker = pickers.get(kind);
  if (picker === undefined) {
    picker = createPicker((reading) => (isOne(reading) ? reading : undefined));
    pickers.set(kind, picker);
  }
  const pick = picker;
  return lookUpIn(view, `readings that are ${kind}`, ({ readings, thread = readings }) =>
    pick(readings, thread),
  );
}

const pickers = new Map<string, Picker<BenchReading, BenchReading>>();
