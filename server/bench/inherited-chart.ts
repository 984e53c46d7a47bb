/**
 * Owns the one chart that chassis sheets make which follow each other: a later sheet's reading stands for an earlier one of
 * the same point, every other is inherited. Readings at another mains or in other conditions stay sets of their own.
 */
import type { ReadingSet } from '../sheet/model.ts';
import { type Fitting, isFittedOtherwise } from './fitting.ts';
import { isRectifier } from './look.ts';
import type { BenchReading, Circuit, FittedPart } from './model.ts';
import { isSupplyRail } from './points.ts';

/** Mains further apart than this share are two sets, as within one sheet. */
const SAME_MAINS = 0.03;

/** The readings of all sheets as of the last one, oldest sheet first; set numbers are unique among them. */
export function inheritedChart(bySheet: readonly (readonly BenchReading[])[]): readonly BenchReading[] {
  const told = bySheet.filter((readings) => readings.length > 0);
  if (told.length < 2) return told[0] ?? [];
  let inherited: readonly BenchReading[] = [];
  let highest = 0;
  for (const readings of told) {
    const own = numberedFrom(readings, highest);
    highest = Math.max(highest, ...own.map(({ set }) => set.id));
    const restated = new Set(own.map(placeOf));
    const sets = [...new Set(own.map(({ set }) => set))].filter(({ id }) => id !== 0);
    inherited = [
      ...inherited
        .filter((reading) => !restated.has(placeOf(reading)))
        .map((reading) => {
          const joined = sets.findLast((set) => isSameMoment(set, reading.set));
          return joined === undefined ? reading : { ...reading, set: joined };
        }),
      ...own,
    ];
  }
  return inherited;
}

/** Sets count from 1 in each sheet. A reading of no set has number 0 everywhere. */
function numberedFrom(readings: readonly BenchReading[], first: number): readonly BenchReading[] {
  if (first === 0) return readings;
  const renumbered = new Map<ReadingSet, ReadingSet>();
  return readings.map((reading) => {
    if (reading.set.id === 0) return reading;
    const set = renumbered.get(reading.set) ?? { ...reading.set, id: reading.set.id + first };
    renumbered.set(reading.set, set);
    return { ...reading, set };
  });
}

/** What is read where, and whether in normal running. */
function placeOf({ at, node, to, toNode, quantity, normal, conditions, set }: BenchReading): string {
  const when = normal ? '' : [...set.conditions, ...conditions].map(({ kind }) => kind).join(' ');
  return [node ?? at, toNode ?? to ?? '', quantity, normal, when].join('\n');
}

/** A chart that a later sheet goes on with: both in normal running, at one mains or both without any. */
function isSameMoment(set: ReadingSet, earlier: ReadingSet): boolean {
  if (earlier.id === 0 || !set.normal || !earlier.normal) return false;
  const [now, then] = [set.mains?.value, earlier.mains?.value];
  if (now === undefined || then === undefined) return now === then;
  return Math.abs(now - then) <= SAME_MAINS * Math.max(Math.abs(now), Math.abs(then));
}

/** What an inherited reading is held against: what each sheet fits, oldest first, and what is fitted in the end. */
export interface Revisions {
  readonly files: readonly string[];
  readonly fittings: readonly ReadonlyMap<string, Fitting>[];
  readonly parts: ReadonlyMap<string, FittedPart>;
  readonly circuit: Circuit;
}

/**
 * Readings that were taken on the circuit as it is in the last sheet. Where a later sheet changes what makes the volts of a
 * point (a resistor or a valve there; the supply, for all of them) the earlier one's reading says what stood there then: it
 * remains nominal, and no figure of the later revision is made of it.
 */
export function readingsStillTrue(
  readings: readonly BenchReading[],
  { files, fittings, parts, circuit }: Revisions,
): readonly BenchReading[] {
  const last = files.length - 1;
  if (last < 1) return readings;
  const changedSince = files.map(
    (_, i) =>
      new Set(
        i === last
          ? []
          : [...parts.values()]
              .filter(({ ref }) => isFittedOtherwise(fittings[i]?.get(ref), fittings[last]?.get(ref)))
              .map(({ ref }) => ref),
      ),
  );
  const isSupply = (part: FittedPart): boolean =>
    isRectifier(part) || (part.class === 'transformer' && part.kinds.includes('mains'));
  const supplies = new Set([...parts.values()].filter(isSupply).map(({ ref }) => ref));
  const isMaking = (node: string, ref: string): boolean => {
    const part = parts.get(ref);
    if (part === undefined || part.class === 'capacitor' || part.class === 'loudspeaker') return false;
    if (!isSupplyRail(node)) return true;
    // Of all that hangs on a rail only what feeds it, or takes from it to another rail, moves it much.
    const ends = [...part.terminals.values()];
    return (
      supplies.has(ref) ||
      ((part.class === 'resistor' || part.class === 'inductor') && ends.filter(isSupplyRail).length > 1)
    );
  };
  return readings.filter(({ source, node, toNode }) => {
    const changed = changedSince[files.indexOf(source.file)];
    if (changed === undefined || changed.size === 0) return true;
    if ([...changed].some((ref) => supplies.has(ref))) return false;
    return ![node, toNode].some(
      (at) =>
        at !== undefined &&
        at !== 'gnd' &&
        circuit.attached(at).some(({ ref }) => changed.has(ref) && isMaking(at, ref)),
    );
  });
}
