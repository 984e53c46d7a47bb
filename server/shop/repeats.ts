/**
 * Owns what keeps failing, over all jobs: failures counted by part, role, kind, margin, age and valve type against the visits
 * whose amplifier had such a part, and parts that failed again in the same amplifier. Jobs come one by one and only what
 * failed is kept of them.
 */
import { DIMENSIONS, type Dimension } from './exposure.ts';
import type { Failure, JobFacts, NotCounted } from './failures.ts';
import { compareText, compareVisits, monthsBetween, type Visit } from './visits.ts';
import { type ShareInterval, wilsonInterval } from './wilson.ts';

/** One visit with what failed on it of one group. */
export interface FailedVisit {
  readonly visit: Visit;
  readonly failures: readonly Failure[];
}

export interface RepeatGroup {
  readonly dimension: Dimension;
  /** `Larch 20, revision b: C11`, `reservoir`, `5881`. */
  readonly group: string;
  /** Visits with at least one failure in it, by evidence or by a replacement like for like. */
  readonly failed: number;
  /** Of those, the visits with nothing but a replacement to say so. */
  readonly onlyReplaced: number;
  /** Visits whose amplifier has such a part. */
  readonly exposed: number;
  readonly share: number;
  /** Wilson, 95 %. */
  readonly interval: ShareInterval;
  /** In the order of time. */
  readonly visits: readonly FailedVisit[];
}

/** A part that failed more than once in one amplifier. */
export interface FailedAgain {
  readonly amplifier: string;
  readonly serial: string;
  readonly ref: string;
  readonly visits: readonly (FailedVisit & {
    /** Since the visit before went back, where the dates say. */
    readonly months?: number;
  })[];
}

export interface Repeats {
  readonly jobs: number;
  /** Jobs on which nothing failed. */
  readonly unharmed: number;
  /** From the first to the last date that is written. */
  readonly from?: string;
  readonly to?: string;
  readonly groups: readonly RepeatGroup[];
  readonly again: readonly FailedAgain[];
  readonly notCounted: readonly { readonly visit: Visit; readonly replacements: readonly NotCounted[] }[];
  /** Failures of parts of which a dimension is not known. */
  readonly unknown: Readonly<Record<Dimension, number>>;
  /** All failures, a part of a visit each. */
  readonly failures: number;
}

export interface RepeatCounter {
  readonly add: (facts: JobFacts) => void;
  readonly result: () => Repeats;
}

export function countRepeats(): RepeatCounter {
  const exposed = new Map<string, number>();
  const failed: { readonly visit: Visit; readonly failures: readonly Failure[] }[] = [];
  const notCounted: { readonly visit: Visit; readonly replacements: readonly NotCounted[] }[] = [];
  let jobs = 0;
  let from: string | undefined;
  let to: string | undefined;
  return {
    add: ({ visit, failures, notCounted: others, exposed: groups }) => {
      jobs++;
      for (const dimension of DIMENSIONS)
        for (const group of groups[dimension]) {
          const key = keyOf(dimension, group);
          exposed.set(key, (exposed.get(key) ?? 0) + 1);
        }
      if (failures.length > 0) failed.push({ visit, failures });
      if (others.length > 0) notCounted.push({ visit, replacements: others });
      const first = visit.received ?? visit.returned;
      const last = visit.returned ?? visit.received;
      if (first !== undefined && (from === undefined || first < from)) from = first;
      if (last !== undefined && (to === undefined || last > to)) to = last;
    },
    result: () => {
      const inTime = [...failed].sort((a, b) => compareVisits(a.visit, b.visit));
      return {
        jobs,
        unharmed: jobs - failed.length,
        ...(from !== undefined && { from }),
        ...(to !== undefined && { to }),
        groups: groupsOf(inTime, exposed),
        again: againOf(inTime),
        notCounted: [...notCounted].sort((a, b) => compareVisits(a.visit, b.visit)),
        unknown: unknownOf(inTime),
        failures: inTime.reduce((sum, { failures }) => sum + failures.length, 0),
      };
    },
  };
}

function keyOf(dimension: Dimension, group: string): string {
  return `${dimension}\t${group}`;
}

function groupsOf(
  failed: readonly FailedVisit[],
  exposed: ReadonlyMap<string, number>,
): readonly RepeatGroup[] {
  const byGroup = new Map<string, { dimension: Dimension; group: string; visits: Map<Visit, Failure[]> }>();
  for (const { visit, failures } of failed)
    for (const failure of failures)
      for (const dimension of DIMENSIONS) {
        const group = failure.groups[dimension];
        if (group === undefined) continue;
        const key = keyOf(dimension, group);
        const own = byGroup.get(key) ?? { dimension, group, visits: new Map<Visit, Failure[]>() };
        byGroup.set(key, own);
        own.visits.set(visit, [...(own.visits.get(visit) ?? []), failure]);
      }
  return [...byGroup]
    .map(([key, { dimension, group, visits }]): RepeatGroup => {
      const count = visits.size;
      const all = Math.max(count, exposed.get(key) ?? 0);
      const interval = wilsonInterval(count, all);
      return {
        dimension,
        group,
        failed: count,
        onlyReplaced: [...visits.values()].filter((own) => own.every(({ by }) => by === 'replaced')).length,
        exposed: all,
        share: count / all,
        interval: interval.ok ? interval.value : { low: 0, high: 1 },
        visits: [...visits].map(([visit, failures]) => ({ visit, failures })),
      };
    })
    .sort(inOrder);
}

/** By dimension; in it what failed most often first, and of equal counts what the numbers prove most of. */
function inOrder(a: RepeatGroup, b: RepeatGroup): number {
  return (
    DIMENSIONS.indexOf(a.dimension) - DIMENSIONS.indexOf(b.dimension) ||
    b.failed - a.failed ||
    b.interval.low - a.interval.low ||
    compareText(a.group, b.group)
  );
}

function againOf(failed: readonly FailedVisit[]): readonly FailedAgain[] {
  const byPart = new Map<string, { amplifier: string; serial: string; ref: string; visits: FailedVisit[] }>();
  for (const { visit, failures } of failed) {
    const { serial } = visit;
    if (serial === undefined) continue;
    const amplifier = visit.chassis ?? visit.model ?? '';
    for (const failure of failures) {
      const key = [amplifier, serial.toUpperCase(), failure.ref].join('\t');
      const own = byPart.get(key) ?? { amplifier, serial, ref: failure.ref, visits: [] };
      byPart.set(key, own);
      own.visits.push({ visit, failures: [failure] });
    }
  }
  return [...byPart.values()]
    .filter(({ visits }) => visits.length > 1)
    .map(({ visits, ...of }) => ({
      ...of,
      visits: visits.map((each, i) => {
        const before = visits[i - 1]?.visit;
        const months =
          before &&
          monthsBetween(before.returned ?? before.received, each.visit.received ?? each.visit.returned);
        return { ...each, ...(months !== undefined && { months }) };
      }),
    }));
}

function unknownOf(failed: readonly FailedVisit[]): Repeats['unknown'] {
  const unknown: Record<Dimension, number> = {
    part: 0,
    place: 0,
    role: 0,
    kind: 0,
    margin: 0,
    age: 0,
    valve: 0,
  };
  for (const { failures } of failed)
    for (const { groups } of failures)
      for (const dimension of DIMENSIONS) if (groups[dimension] === undefined) unknown[dimension]++;
  return unknown;
}
