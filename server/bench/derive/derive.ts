/** Owns the order in which families of figures are made, once for the parts of a phase and once for each set of its readings. */
import type { ReadingSet, Sheet } from '../../sheet/model.ts';
import type { Ohms } from '../../units/si.ts';
import type { BenchReading, Figure, PhaseView } from '../model.ts';
import { lookAt } from '../roles.ts';
import { createLedger, type PhaseBench, type SetBench, valvesOf } from './bench.ts';
import { resistorFigures } from './resistors.ts';
import { readSet } from './set-readings.ts';
import { valveCurrents } from './valve-currents.ts';
import { valveStress } from './valve-stress.ts';

export interface Derivation extends Omit<PhaseView, 'figures' | 'offers'> {
  /** The sheet whose phase it is. */
  readonly sheet: Sheet;
  readonly sense?: Ohms;
}

/** Families in the order in which they build on each other. */
const FAMILIES: readonly ((bench: SetBench) => void)[] = [resistorFigures, valveCurrents, valveStress];

export function deriveFigures({ sheet, sense, ...view }: Derivation): readonly Figure[] {
  const look = lookAt(view.parts, view.circuit);
  const phase: PhaseBench = {
    sheet,
    view,
    look,
    parts: [...view.parts.values()],
    valves: valvesOf(view, look),
    ...(sense !== undefined && { sense }),
  };
  const figures: Figure[] = [];
  for (const [set, readings] of setsOf(view.readings)) {
    const ledger = createLedger();
    const moment = { file: sheet.uri, phase: view.phase, set: set.id };
    const bench: SetBench = { ...phase, moment, set, read: readSet(readings), ledger };
    for (const family of FAMILIES) family(bench);
    figures.push(...ledger.all());
  }
  return figures;
}

/** The readings of each set in normal running; nothing is ever taken from two. */
function setsOf(readings: readonly BenchReading[]): ReadonlyMap<ReadingSet, readonly BenchReading[]> {
  const sets = new Map<number, { set: ReadingSet; readings: BenchReading[] }>();
  for (const reading of readings) {
    if (!reading.normal) continue;
    const known = sets.get(reading.set.id);
    if (known === undefined) sets.set(reading.set.id, { set: reading.set, readings: [reading] });
    else known.readings.push(reading);
  }
  return new Map(
    [...sets.values()].sort((a, b) => a.set.id - b.set.id).map(({ set, readings: of }) => [set, of]),
  );
}
