/**
 * Owns which readings stand side by side: those of the same conditions as found and as left, and measurements of parts
 * whatever the conditions. Data only; `readings.ts` writes it.
 */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import type { Condition } from '../dialect/tree.ts';
import type { ReadingSet } from '../sheet/model.ts';
import { goesWithMains, mainsFactor } from '../shop/equal-mains.ts';
import type { Quantity } from '../units/si.ts';
import type { Written } from './numbers.ts';

/** One column of a chart. */
export interface Side {
  readonly view: PhaseView;
  /** Absent for measurements, which belong to no set. */
  readonly set?: ReadingSet;
}

export interface ChartRow {
  /** What tells the row: point, other point, quantity, wave, frequency. */
  readonly like: BenchReading;
  /** For each side what was read, in sheet order: the last counts. */
  readonly read: readonly (readonly BenchReading[])[];
  /** Second side less the first, where both are plain numbers of one unit. */
  readonly difference?: {
    readonly quantity: Quantity;
    readonly share?: number;
    readonly from: Written;
    readonly to: Written;
    /** The share with the second side reckoned to the first one's mains, where both are written and the mains moved. */
    readonly atEqualMains?: number;
  };
}

export interface Chart {
  readonly kind: 'normal' | 'other' | 'measurements' | 'work';
  readonly sides: readonly Side[];
  readonly rows: readonly ChartRow[];
}

/** All readings of an amplifier in charts, normal running first. */
export function chartsOf(phases: readonly PhaseView[]): readonly Chart[] {
  const sides = phases.filter(({ phase }) => phase !== 'work' && phase !== 'factory');
  const views = sides.length > 0 ? sides : phases.filter(({ phase }) => phase === 'factory');
  const running = views.map((view) => ({ view, readings: view.readings.filter(isRunning) }));
  const charts: Chart[] = [];

  const verdicts = running.flatMap(({ view }) =>
    view.verdictSet === undefined ? [] : [{ view, set: view.verdictSet }],
  );
  if (verdicts.length > 0) charts.push(chartOf('normal', verdicts));

  const others = running.flatMap(({ view, readings }) =>
    setsIn(readings)
      .filter((set) => set.id !== view.verdictSet?.id)
      .map((set) => ({ view, set })),
  );
  const byConditions = new Map<string, typeof others>();
  for (const other of others) {
    const key = keyOf(other.set.conditions);
    byConditions.set(key, [...(byConditions.get(key) ?? []), other]);
  }
  for (const alike of byConditions.values()) {
    // Several sets of one phase under equal conditions (the mains moved) stand one after another.
    for (let at = 0; at < alike.length; ) {
      const first = alike[at];
      const second = alike[at + 1];
      if (first === undefined) break;
      const isPair = second !== undefined && second.view !== first.view;
      charts.push(chartOf('other', isPair ? [first, second] : [first]));
      at += isPair ? 2 : 1;
    }
  }

  const measured = views.filter((view) => view.readings.some((reading) => !isRunning(reading)));
  if (measured.length > 0)
    charts.push(
      tabulate(
        'measurements',
        measured.map((view) => ({ view })),
        measured.map((view) => view.readings.filter((reading) => !isRunning(reading))),
      ),
    );

  const work = sides.length > 0 ? phases.find(({ phase }) => phase === 'work') : undefined;
  if (work !== undefined && work.readings.length > 0)
    charts.push(tabulate('work', [{ view: work }], [work.readings]));
  return charts.filter(({ rows }) => rows.length > 0);
}

function chartOf(kind: Chart['kind'], sides: readonly { view: PhaseView; set: ReadingSet }[]): Chart {
  return tabulate(
    kind,
    sides,
    sides.map(({ view, set }) =>
      view.readings.filter((reading) => reading.set.id === set.id && isRunning(reading)),
    ),
  );
}

/** Readings of several sides in rows of their likes. */
export function tabulate(
  kind: Chart['kind'],
  sides: readonly Side[],
  readings: readonly (readonly BenchReading[])[],
): Chart {
  const byKey = new Map<string, { readonly like: BenchReading; readonly read: BenchReading[][] }>();
  for (const [column, side] of readings.entries())
    for (const reading of side) {
      const key = rowKey(reading);
      const row = byKey.get(key) ?? { like: reading, read: readings.map(() => []) };
      row.read[column]?.push(reading);
      byKey.set(key, row);
    }
  const rows = [...byKey.values()].map(({ like, read }): ChartRow => {
    const difference = differenceOf(read, sides);
    return { like, read, ...(difference === undefined ? {} : { difference }) };
  });
  return { kind, sides, rows };
}

/** Volts, amperes and the like; not what is measured on a part, whatever the amplifier does meanwhile. */
export function isRunning({ quantity }: BenchReading): boolean {
  switch (quantity) {
    case 'resistance':
    case 'capacitance':
    case 'inductance':
    case 'esr':
    case 'insulation':
    case 'leakage':
    case 'arms':
    case 'halves':
      return false;
    default:
      return true;
  }
}

function rowKey({ at, to, quantity, wave, frequency, value }: BenchReading): string {
  return JSON.stringify([at, to, quantity, wave, frequency?.value, value.quantity.unit]);
}

/** Of two sides; of three the last that was read against the first. */
function differenceOf(
  read: readonly (readonly BenchReading[])[],
  sides: readonly Side[],
): ChartRow['difference'] {
  const found = read[0]?.at(-1);
  const last = read.findLastIndex((side, i) => i > 0 && side.length > 0);
  const left = read[last]?.at(-1);
  if (found === undefined || left === undefined) return undefined;
  if (found.special !== undefined || left.special !== undefined || found.second !== undefined)
    return undefined;
  const { value: before, unit } = found.value.quantity;
  const change = left.value.quantity.value - before;
  // No finer than the readings themselves: 339.6 − 325.6 is 14, not 14.000000000000057.
  const value = Number(change.toPrecision(6));
  if (!Number.isFinite(value)) return undefined;
  const isTelling = Math.abs(before) > found.uncertainty && before !== 0;
  return {
    quantity: { value, unit },
    from: found.value,
    to: left.value,
    ...(isTelling
      ? { share: change / Math.abs(before), ...equalMains(found, left, sides[0], sides[last]) }
      : {}),
  };
}

/** What goes with the mains, reckoned to the first side's. */
function equalMains(
  found: BenchReading,
  left: BenchReading,
  first: Side | undefined,
  second: Side | undefined,
): { readonly atEqualMains?: number } {
  const factor = mainsFactor(first?.set?.mains?.value, second?.set?.mains?.value);
  if (factor === undefined || !goesWithMains(found)) return {};
  const share = (left.value.quantity.value * factor) / found.value.quantity.value - 1;
  return Number.isFinite(share) ? { atEqualMains: share } : {};
}

function setsIn(readings: readonly BenchReading[]): readonly ReadingSet[] {
  return [...new Map(readings.map(({ set }) => [set.id, set])).values()].sort((a, b) => a.id - b.id);
}

/** What makes two sets' conditions equal, whatever their order; the mains is a reading, not a condition. */
function keyOf(conditions: readonly Condition[]): string {
  return conditions
    .filter(({ kind }) => kind !== 'mains')
    .map(({ kind, refs, value, words }) => {
      const names = refs.map(({ name }) => name).sort();
      return `${kind} ${names.join(',')} ${value?.value ?? ''} ${kind === 'named' ? words.toLowerCase() : ''}`;
    })
    .sort()
    .join(';');
}
