/** Owns what a point should stand at by a chart: the chassis sheet's own readings, or the nominal column beside what was read. */
import type { BenchReading, PhaseView, Source } from '../bench/model.ts';
import type { RuleContext } from './rule.ts';

export interface Nominal {
  readonly volts: number;
  /** As it was written. */
  readonly reading: BenchReading;
  /** `the chassis sheet`, or `the chart’s own nominal`. */
  readonly whose: string;
  /** The mains it holds at, where that is written. */
  readonly mains?: number;
  /** Beside the reading itself: for the same mains, whatever that is. */
  readonly isColumn: boolean;
  readonly source: Source;
}

const nominalsOf = new WeakMap<PhaseView, ReadonlyMap<string, Nominal>>();

/** The nominal volts of a node in a view: beside the reading itself, else on the chassis sheet. Nothing is nominal to the chassis sheet itself. */
export function nominalAt(
  context: Pick<RuleContext, 'sheet'>,
  view: PhaseView,
  point: string,
): Nominal | undefined {
  let known = nominalsOf.get(view);
  if (known === undefined) {
    known = indexNominals(view.nominals, context.sheet.uri);
    nominalsOf.set(view, known);
  }
  return known.get(view.circuit.nodeOf(point) ?? point);
}

function indexNominals(readings: readonly BenchReading[], own: string): ReadonlyMap<string, Nominal> {
  const nominals = new Map<string, Nominal>();
  for (const reading of readings) {
    if (reading.quantity !== 'voltage' || reading.to !== undefined || reading.special !== undefined) continue;
    const { node, set, source } = reading;
    const isOwn = source.file === own;
    // Of the chassis sheet's readings only those of normal running are a chart.
    if (node === undefined || (!isOwn && !set.normal && set.id !== 0)) continue;
    if (!isOwn && nominals.get(node)?.isColumn === true) continue;
    nominals.set(node, {
      volts: reading.value.quantity.value,
      reading,
      whose: isOwn ? 'the chart’s own nominal' : 'the chassis sheet',
      isColumn: isOwn,
      ...(isOwn || set.mains === undefined ? {} : { mains: set.mains.value }),
      source,
    });
  }
  return nominals;
}
