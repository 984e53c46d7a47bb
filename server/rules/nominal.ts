/** Owns what a point should stand at by a chart: the chassis sheet's own readings, or the nominal column beside what was read. */
import type { BenchReading, PhaseView, Source } from '../bench/model.ts';
import type { RuleContext } from './rule.ts';

export interface Nominal {
  readonly volts: number;
  /** `the chassis sheet`, or `the chart’s nominal column`. */
  readonly whose: string;
  /** The mains it holds at, where that is written. */
  readonly mains?: number;
  readonly source: Source;
}

const factoryOf = new WeakMap<PhaseView, ReadonlyMap<string, Nominal>>();
const columnOf = new WeakMap<PhaseView, ReadonlyMap<string, Nominal>>();

/** The nominal volts of a node in a view: beside the reading itself, else on the chassis sheet. Nothing is nominal to the chassis sheet itself. */
export function nominalAt(context: RuleContext, view: PhaseView, point: string): Nominal | undefined {
  const node = view.circuit.nodeOf(point) ?? point;
  return columnNominals(view).get(node) ?? chassisNominals(context, view)?.get(node);
}

function columnNominals(view: PhaseView): ReadonlyMap<string, Nominal> {
  let known = columnOf.get(view);
  if (known === undefined) {
    known = index(view.nominals, 'the chart’s own nominal');
    columnOf.set(view, known);
  }
  return known;
}

function chassisNominals(context: RuleContext, view: PhaseView): ReadonlyMap<string, Nominal> | undefined {
  const factory = context.amplifier.phases.find(({ phase }) => phase === 'factory');
  if (factory === undefined || factory === view || context.sheet.kind === 'chassis') return undefined;
  let known = factoryOf.get(factory);
  if (known === undefined) {
    const set = factory.verdictSet?.id;
    const read = factory.readings.filter((reading) => reading.normal && reading.set.id === set);
    known = new Map([
      ...index(factory.nominals, 'the chassis sheet'),
      ...index(read, 'the chassis sheet', factory.verdictSet?.mains?.value),
    ]);
    factoryOf.set(factory, known);
  }
  return known;
}

function index(readings: readonly BenchReading[], whose: string, mains?: number): Map<string, Nominal> {
  const nominals = new Map<string, Nominal>();
  for (const reading of readings) {
    if (reading.quantity !== 'voltage' || reading.to !== undefined || reading.special !== undefined) continue;
    if (reading.node === undefined) continue;
    nominals.set(reading.node, {
      volts: reading.value.quantity.value,
      whose,
      ...(mains === undefined ? {} : { mains }),
      source: reading.source,
    });
  }
  return nominals;
}
