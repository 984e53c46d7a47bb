/**
 * Owns the placing of what is fitted in one phase in its circuit: the valves in their sockets, the netlist, each part with its
 * nodes and with what was measured on it, and what each is there for.
 */
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Ref } from '../dialect/tree.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { ReadingStatement } from '../sheet/model.ts';
import { type FittedPhase, type Fitting, type FittingHistory, phaseOf } from './fitting.ts';
import { type Look, lookAt } from './look.ts';
import type { BenchReading, FittedPart, RoleFound } from './model.ts';
import { buildNetlist, isWiredAlike } from './netlist.ts';
import { findNetworks } from './networks.ts';
import { partFrom, sectionOf } from './parts.ts';
import { benchReading } from './readings.ts';
import type { InForce } from './renumbering.ts';
import { areToldAlike, findRoles } from './roles.ts';
import type { Netlist } from './settled-netlist.ts';
import { readingsOfParts } from './sorted-statements.ts';
import type { Steps } from './steps.ts';
import {
  asBefore,
  readValves,
  type SectionConvention,
  type TalkOfValves,
  type Valves,
  valvesFitted,
} from './valves.ts';

/** What the parts of every phase of one amplifier are placed by. */
export interface Placing {
  readonly history: FittingHistory;
  /** The job sheet, or the last chassis sheet where there is none: what is measured on parts is written there. */
  readonly last: InForce;
  readonly talk: TalkOfValves;
  readonly catalogue: Catalogue;
  readonly sections?: SectionConvention;
  readonly steps: Steps;
}

/** Parts in their places. */
interface Placed {
  readonly fitted: FittedPhase;
  readonly valves: Valves;
  readonly netlist: Netlist;
  readonly parts: ReadonlyMap<string, FittedPart>;
}

/** All that is placed in one phase, for the next. */
export interface PlacedPhase extends Placed {
  /** The valves among what is fitted. */
  readonly tubes: readonly Fitting[];
  readonly look: Look;
  readonly roles: ReadonlyMap<string, RoleFound>;
}

/** All that the valves of a phase are read by, beside what is fitted. */
export function valveInputs({ talk, catalogue, sections }: Placing): readonly unknown[] {
  return [...talk.told, catalogue, sections];
}

/** Places what is fitted in a phase; what was left as it was `before` need not be traced again. */
export function placePhase(
  fitted: FittedPhase,
  before: PlacedPhase | undefined,
  placing: Placing,
): PlacedPhase {
  const { steps } = placing;
  const { phase } = fitted;
  const tubes = valvesFitted(fitted);
  const valves: Valves =
    before !== undefined && isSameList(before.tubes, tubes)
      ? before.valves
      : steps(
          `valves ${phase}`,
          () => [before?.valves, fitted, ...valveInputs(placing)],
          () =>
            asBefore(before?.valves, readValves(fitted, placing.talk, placing.catalogue, placing.sections)),
        );
  const isTiedAsBefore =
    before?.valves.findElectrode === valves.findElectrode && isWiredAlike(before.fitted, fitted);
  const netlist: Netlist =
    isTiedAsBefore && before
      ? before.netlist
      : steps(`netlist ${phase}`, [fitted, valves], () =>
          buildNetlist(fitted, valves.findElectrode, valves.electrodes, valves.pinned),
        );
  const measured = measurementsOf(fitted, placing, netlist, valves);
  const parts = steps(
    `parts ${phase}`,
    () => [before?.parts, fitted, netlist, valves, [...measured].flat(2)],
    () => {
      const slot = steps(`parts made ${phase}`, [], (): { last?: Placed } => ({}));
      const made = partsOf({ fitted, valves, netlist }, measured, [before, slot.last]);
      slot.last = { fitted, valves, netlist, parts: made };
      return made;
    },
  );
  const look = lookAt(parts, netlist.circuit);
  const roles =
    before?.netlist === netlist && areToldAlike(before.parts, parts)
      ? before.roles
      : steps(`roles ${phase}`, [look], () => findNetworks(look, findRoles(look)));
  return { fitted, tubes, valves, netlist, parts, look, roles };
}

/** The parts of a phase: of those `kept` in the phase before or the last time each that is fitted, placed and measured alike. */
function partsOf(
  { fitted, valves, netlist }: Omit<Placed, 'parts'>,
  measured: ReadonlyMap<string, readonly BenchReading[]>,
  kept: readonly (Placed | undefined)[],
): ReadonlyMap<string, FittedPart> {
  const parts = new Map<string, FittedPart>();
  const inPlace = kept.filter((each) => each?.netlist === netlist);
  const add = (ref: Ref, fitting: Fitting, home: Fitting): void => {
    const ofPart = measured.get(ref.name) ?? NOT_MEASURED;
    const type = ref.class === 'valve' ? valves.envelopes.get(ref.whole)?.type : undefined;
    for (const each of inPlace) {
      const part = each?.parts.get(ref.name);
      if (
        part !== undefined &&
        part.source === home.source &&
        each?.fitted.fittings.get(home.ref.name) === home &&
        (ref.class !== 'valve' || each.valves.envelopes.get(ref.whole)?.type === type) &&
        isSameList(part.measured, ofPart)
      ) {
        parts.set(ref.name, part);
        return;
      }
    }
    const terminals = netlist.terminalsOf(ref.name);
    const context = { terminals, measured: ofPart, type, valveSection: valves.sectionOf(ref.name) };
    parts.set(ref.name, partFrom(fitting, context));
  };
  for (const fitting of fitted.fittings.values()) add(fitting.ref, fitting, fitting);
  const homes = homesOf(fitted);
  for (const ref of valves.unsaid) {
    const home = homes.get(ref.whole);
    if (home !== undefined) add(ref, sectionOf(home, ref), home);
  }
  return kept.find((each) => each !== undefined && isSameMap(each.parts, parts))?.parts ?? parts;
}

const NOT_MEASURED: readonly BenchReading[] = [];

/** Whether the very same stands under the same names in the same order. */
function isSameMap<K, V>(one: ReadonlyMap<K, V>, other: ReadonlyMap<K, V>): boolean {
  if (one.size !== other.size) return false;
  const there = other.entries();
  for (const [key, value] of one) {
    const next = there.next().value;
    if (next?.[0] !== key || next[1] !== value) return false;
  }
  return true;
}

/** The line that fits each envelope, by its whole ref: the whole valve's own, else that of a section. */
function homesOf({ fittings }: FittedPhase): ReadonlyMap<string, Fitting> {
  const homes = new Map<string, Fitting>();
  for (const fitting of fittings.values()) {
    const { ref } = fitting;
    if (ref.class !== 'valve') continue;
    if (ref.section === undefined || !homes.has(ref.whole)) homes.set(ref.whole, fitting);
  }
  return homes;
}

const OF_PART: ReadonlySet<ReadingStatement['quantity']> = new Set([
  'resistance',
  'capacitance',
  'inductance',
  'esr',
  'insulation',
  'leakage',
  'setting',
  'arms',
  'halves',
]);

/** What was read on each part itself, up to this phase and since the part was fitted. */
function measurementsOf(
  { phase, fittings }: FittedPhase,
  { history, last }: Placing,
  { circuit }: Netlist,
  { findElectrode }: Valves,
): ReadonlyMap<string, readonly BenchReading[]> {
  const measured = new Map<string, BenchReading[]>();
  if (phase === 'factory') return measured;
  const order = history.phases.map((each) => each.phase);
  for (const statement of readingsOfParts(last)) {
    if (statement.at.kind !== 'ref' || statement.to !== undefined || !OF_PART.has(statement.quantity))
      continue;
    const when = phaseOf(statement);
    if (order.indexOf(when) > order.indexOf(phase)) continue;
    const fitting = fittings.get(statement.at.name);
    if (fitting === undefined) continue;
    if (history.generationAt(fitting.ref.name, when, statement.span) !== fitting.generation) continue;
    const reading = benchReading(statement, last.sheet, when, circuit, findElectrode, false, true);
    if (reading === undefined) continue;
    const list = measured.get(fitting.ref.name);
    if (list === undefined) measured.set(fitting.ref.name, [reading]);
    else list.push(reading);
  }
  return measured;
}
