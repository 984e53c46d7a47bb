/**
 * Owns what one change does to the amplifier, apart for direct current and for signals: each figure before and after, the
 * level at four telling frequencies, and all that was held as it stands. Data only; it is made when somebody asks.
 */

import { found, refused } from '../electronics/result.ts';
import { type Hertz, hertz } from '../units/si.ts';
import { findStates, isAlike, leakOf, type StateBench, type States } from './change-states.ts';
import { createLedger, type PhaseBench, type SetBench } from './derive/bench.ts';
import { capacitorFigures } from './derive/capacitors.ts';
import { calculate, input, inputFrom } from './derive/figure.ts';
import { networkFigures } from './derive/network-figures.ts';
import { resistorFigures } from './derive/resistors.ts';
import { readSet, type SetReadings } from './derive/set-readings.ts';
import { capacitanceOf, type StageBench, stageFigures } from './derive/stages.ts';
import { supplyFigures } from './derive/supply.ts';
import { valveCurrents } from './derive/valve-currents.ts';
import { valveStress } from './derive/valve-stress.ts';
import { averageState } from './expected.ts';
import type { Amplifier, Figure, FigureName, FittedPart, PartChange, PhaseView } from './model.ts';
import { isBiasNode, isRail } from './points.ts';
import { findResponse, findUnloadedAround, type LevelEffect } from './response.ts';
import type { Held } from './signal-circuit.ts';

/** One figure before and after; absent where there is none, as of a part that is removed. */
export interface EffectLine {
  readonly subject: string;
  readonly figure: FigureName;
  readonly before?: Figure;
  readonly after?: Figure;
}

export interface ChangeEffect {
  readonly ref: string;
  readonly change: PartChange;
  /** The state that everything else is taken from. */
  readonly phase: PhaseView['phase'];
  /** At rest: volts, currents, dissipations, margins, ripple. */
  readonly direct: readonly EffectLine[];
  /** With signal: corners, shelves, gain, impedances. */
  readonly signal: readonly EffectLine[];
  readonly levels?: LevelEffect;
  readonly held: readonly Held[];
}

/** The lowest string, the body of the sound, the middle, the edge of treble. */
export const TELLING_FREQUENCIES: readonly Hertz[] = [82, 400, 1000, 5000].map(hertz);

/** What moves elsewhere by less than this share of itself is no effect worth telling. */
const WORTH_TELLING = 0.01;
/** The same for decibels. */
const DECIBELS_WORTH_TELLING = 0.05;
/** Two figures nearer than this are one, computed twice. */
const SAME = 1e-9;

/**
 * What a change does; undefined where nothing electrical changes or where the part is in no circuit that is known. `besides`: what
 * must change in the same go, since one without the other is no amplifier (a rectifier valve, and the diodes in its place).
 */
export function effectOf(
  change: PartChange,
  amplifier: Amplifier,
  besides: readonly PartChange[] = [],
): ChangeEffect | undefined {
  const states = findStates(change, amplifier, besides);
  if (states === undefined) return undefined;
  const { base, was, is } = states;
  const held: Held[] = [{ kind: 'parts', phase: base.phase }];
  const supply = supplyEffects(states);
  const direct = [
    ...directEffects(states, was, is, held),
    ...supply.filter(({ figure }) => figure !== 'reflected-load'),
  ];
  const signal = [...signalEffects(states), ...supply.filter(({ figure }) => figure === 'reflected-load')];
  const levels = levelEffect(states, held);
  if (direct.length === 0 && signal.length === 0 && levels === undefined) return undefined;
  return {
    ref: change.ref,
    change,
    phase: base.phase,
    direct,
    signal,
    ...(levels && { levels }),
    held: eachOnce(held),
  };
}

/** Parts as found that are not what the chassis sheet has: changes that somebody made before this visit. */
export function departuresFromChassis(amplifier: Amplifier): readonly PartChange[] {
  const factory = amplifier.phases.find(({ phase }) => phase === 'factory');
  const asFound = amplifier.phases.find(({ phase }) => phase === 'as-found');
  if (factory === undefined || asFound === undefined) return [];
  return [...asFound.parts.values()].flatMap((is) => {
    const was = factory.parts.get(is.ref);
    if (was === undefined || was.specification === is.specification || isAlike(was, is)) return [];
    return [{ ref: is.ref, was, is, planned: false, source: is.source }];
  });
}

/** Figures at rest. A capacitor or a mere rating moves no direct volts, so those that were read stand; else the circuit is solved. */
function directEffects(
  states: States,
  was: FittedPart | undefined,
  is: FittedPart | undefined,
  held: Held[],
): readonly EffectLine[] {
  const { before, after, base, change } = states;
  const isStill = !states.isElectrical || ((is ?? was)?.class === 'capacitor' && leakOf(was) === leakOf(is));
  const lines: EffectLine[] = [];
  const set = base.verdictSet;
  const read = readSet(
    base.readings.filter((reading) => set !== undefined && reading.normal && reading.set.id === set.id),
  );
  if (isStill && set !== undefined) {
    lines.push(...compare(change.ref, restFigures(before, read), restFigures(after, read), true));
    if (lines.length > 0) held.push({ kind: 'readings', phase: set.phase, set: set.id });
  }
  if (lines.length === 0) lines.push(...solvedEffects(states, read, isStill));
  if (lines.some(({ before: b, after: a }) => (b ?? a)?.basis === 'expected'))
    held.push({ kind: 'average-valves' });
  return [...lines, ...rippleEffects(states, was, is, held)];
}

/** The same by average valves: what the solution gives for every node, and what follows from that. */
function solvedEffects(
  { before, after, change, amplifier }: States,
  read: SetReadings,
  ownOnly: boolean,
): readonly EffectLine[] {
  const [one, two] = [before, after].map(({ state }) => averageState(state, amplifier).figures);
  if (one === undefined || two === undefined || one.length === 0 || two.length === 0) return [];
  if (heldIn(one) !== heldIn(two)) return [];
  return [
    ...(ownOnly ? [] : compare(change.ref, one, two, false)),
    ...compare(
      change.ref,
      restFigures(before, expectedReadings(one, read)),
      restFigures(after, expectedReadings(two, read)),
      ownOnly,
    ),
  ];
}

/** Rails that were held as they were read, since what feeds them was not known: against a solved one nothing can be told. */
function heldIn(figures: readonly Figure[]): string {
  const held = figures.flatMap(({ inputs }) =>
    inputs.flatMap(({ name, symbol, known }) =>
      known.basis === 'read' && name === symbol && isRail(name) ? name : [],
    ),
  );
  return [...new Set(held)].sort().join();
}

function restFigures(bench: PhaseBench, read: SetReadings): readonly Figure[] {
  const ledger = createLedger();
  const set = bench.view.verdictSet ?? UNREAD_SET;
  const moment = { file: bench.sheet.uri, phase: bench.view.phase, set: set.id };
  const rest: SetBench = { ...bench, moment, set, read, ledger };
  resistorFigures(rest);
  valveCurrents(rest);
  valveStress(rest);
  capacitorFigures(rest);
  return ledger.all();
}

/** A set that nobody read. */
export const UNREAD_SET = {
  id: 0,
  phase: 'noted',
  conditions: [],
  limited: false,
  off: false,
  normal: true,
  span: { start: 0, end: 0 },
} as const;

/** Solved volts and currents in the place of read ones. */
function expectedReadings(figures: readonly Figure[], read: SetReadings): SetReadings {
  const bySubject = new Map(figures.map((figure) => [figure.subject, figure]));
  // A supply that could not be solved was held where it was read.
  const held = (node: string | undefined) =>
    node !== undefined && (node === 'gnd' || isRail(node) || isBiasNode(node))
      ? read.voltsAt(node)
      : undefined;
  const at = (name: string | undefined, unit: 'V' | 'A') => {
    const figure = name === undefined ? undefined : bySubject.get(name);
    return figure?.quantity.unit === unit ? inputFrom(unit === 'V' ? 'V' : 'I', figure) : undefined;
  };
  const voltsAt: SetReadings['voltsAt'] = (node) => at(node, 'V') ?? held(node);
  return {
    voltsAt,
    asRead: voltsAt,
    voltsAcross: () => undefined,
    voltsBetween: () => undefined,
    voltsOfBoth: (one, other) => {
      const [first, second] = [voltsAt(one), voltsAt(other)];
      return first && second && [first, second];
    },
    currentAt: (name) => at(name, 'A'),
    ripplesAt: () => [],
    rippling: () => [],
  };
}

/** Ripple on the node of a capacitor to ground: solved where its supply is known, else as read, by the capacitances. */
function rippleEffects(
  { before, after, base, read: from, amplifier, isElectrical }: States,
  was: FittedPart | undefined,
  is: FittedPart | undefined,
  held: Held[],
): readonly EffectLine[] {
  const roleIn = (bench: StateBench, part: FittedPart | undefined) =>
    part && bench.view.roles.get(part.ref)?.role;
  const role = roleIn(after, is) ?? roleIn(before, was);
  const isFilter = role === 'reservoir' || role === 'smoothing';
  if (!isElectrical || ((is ?? was)?.class === 'capacitor' && !isFilter)) return [];
  const [one, two] = [before, after].map(({ state }) => averageState(state, amplifier).ripples);
  const solved = compare('', one ?? [], two ?? [], false);
  if (solved.length > 0) {
    held.push({ kind: 'average-valves' });
    return solved;
  }
  if (was === undefined || is === undefined) return [];
  const node = [...is.terminals.values()].find((each) => each !== 'gnd');
  const c1 = capacitanceOf(was);
  const c2 = capacitanceOf(is);
  if (!isFilter || node === undefined || c1 === undefined || c2 === undefined) return [];
  const read = base.figures.findLast(
    ({ figure, subject, set }) => figure === 'ripple' && subject === node && set === base.verdictSet?.id,
  );
  if (read === undefined) return [];
  // What was read belongs to the part that is in the state; the other follows from it.
  const isAfterRead = from.parts.get(is.ref)?.specification === is.specification;
  const [mine, other] = isAfterRead ? [c2, c1] : [c1, c2];
  const scaled = calculate(
    { file: read.file, phase: read.phase, set: read.set },
    {
      subject: node,
      figure: 'ripple',
      unit: 'V',
      formula: 'Vpp · C1 / C2',
      inputs: [
        inputFrom('Vpp', read),
        input('C1', `${mine.name} fitted`, mine.known),
        input('C2', `${other.name} other`, other.known),
      ],
      by: (v = 0, a = 0, b = 0) => (b > 0 ? found((v * a) / b) : refused('no capacitance')),
      assumed: true,
    },
  );
  if (scaled === undefined) return [];
  held.push({ kind: 'load-current' });
  const [first, second] = isAfterRead ? [scaled, read] : [read, scaled];
  return [{ subject: node, figure: 'ripple', before: first, after: second }];
}

function signalEffects(states: States): readonly EffectLine[] {
  return unreadEffects(states, (bench) => {
    stageFigures(bench);
    networkFigures(bench);
  });
}

/** What the supply gives and bears without any reading, and the load that the loudspeaker makes. */
function supplyEffects(states: States): readonly EffectLine[] {
  return unreadEffects(states, supplyFigures);
}

function unreadEffects(
  { before, after, change }: States,
  derive: (bench: StageBench) => void,
): readonly EffectLine[] {
  const [one, two] = [before, after].map((bench) => {
    const ledger = createLedger();
    derive({ ...bench, moment: { file: bench.sheet.uri, phase: bench.view.phase, set: 0 }, ledger });
    return ledger.all();
  });
  return compare(change.ref, one ?? [], two ?? [], false);
}

/** Figures that differ: those of the part itself by anything, others by what is worth telling. In the order of the figures. */
function compare(
  ref: string,
  before: readonly Figure[],
  after: readonly Figure[],
  ownOnly: boolean,
): readonly EffectLine[] {
  const key = ({ subject, figure }: Figure): string => `${figure} ${subject}`;
  const later = new Map(after.map((figure) => [key(figure), figure]));
  const earlier = new Set(before.map(key));
  const lines: EffectLine[] = [];
  const add = (one: Figure | undefined, two: Figure | undefined): void => {
    const of = one ?? two;
    if (of === undefined) return;
    const isOwn = of.subject === ref;
    if (ownOnly && !isOwn) return;
    // Elsewhere a figure that one state lacks tells of a gap in what is known, not of a change.
    if (!isOwn && (one === undefined || two === undefined)) return;
    if (one !== undefined && two !== undefined && !isMoved(one, two, isOwn)) return;
    lines.push({
      subject: of.subject,
      figure: of.figure,
      ...(one && { before: one }),
      ...(two && { after: two }),
    });
  };
  for (const figure of before) add(figure, later.get(key(figure)));
  for (const figure of after) if (!earlier.has(key(figure))) add(undefined, figure);
  return lines;
}

function isMoved(one: Figure, two: Figure, isOwn: boolean): boolean {
  const moved = Math.abs(one.quantity.value - two.quantity.value);
  const size = Math.max(Math.abs(one.quantity.value), Math.abs(two.quantity.value));
  if (isOwn) return moved > SAME * size;
  if (one.quantity.unit === 'dB') return moved > DECIBELS_WORTH_TELLING;
  return moved > WORTH_TELLING * size;
}

/** The level behind the part at the telling frequencies, where the circuit around it is known. */
function levelEffect(states: States, held: Held[]): LevelEffect | undefined {
  const response = findResponse(states, TELLING_FREQUENCIES);
  if (response === undefined) {
    const nodes = findUnloadedAround(states);
    if (nodes.length > 0) held.push({ kind: 'no-load', nodes });
    return undefined;
  }
  held.push(...response.held);
  return response;
}

function eachOnce(held: readonly Held[]): readonly Held[] {
  return [...new Map(held.map((each) => [JSON.stringify(each), each])).values()];
}
