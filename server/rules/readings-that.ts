/** Owns looking only at certain readings of a phase: a rule that asks for these is not run again for the others. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { lookUpIn } from '../sheet/watching.ts';

/** The readings of a view that are of one kind, in order. `kind` is its name among all kinds; `isOne` goes by the reading alone. */
export function readingsThat(
  view: PhaseView,
  kind: string,
  isOne: (reading: BenchReading) => boolean,
): readonly BenchReading[] {
  return lookUpIn(view, `readings that are ${kind}`, ({ readings }) => {
    const byKind = pickedOf.get(readings) ?? new Map<string, readonly BenchReading[]>();
    pickedOf.set(readings, byKind);
    const known = byKind.get(kind);
    if (known !== undefined) return known;
    const picked = readings.filter(isOne);
    byKind.set(kind, picked);
    return picked;
  });
}

const pickedOf = new WeakMap<readonly BenchReading[], Map<string, readonly BenchReading[]>>();
