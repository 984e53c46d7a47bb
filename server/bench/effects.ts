/**
 * Owns what one change does to the amplifier, apart for direct current and for signals: each figure before and after, the
 * level at four telling frequencies, and all that was held as it stands. Data only; it is made when somebody asks.
 */

import { found, refused } from '../electronics/result.ts';
import { levels as levelsOf, transfer } from '../electronics/solver/sweep.ts';
import { type Hertz, hertz, type Quantity, quantity } from '../units/si.ts';
import { createLedger, type PhaseBench, type SetBench } from './derive/bench.ts';
import { capacitorFigures } from './derive/capacitors.ts';
import { openBench } from './derive/derive.ts';
import { calculate, input, inputFrom } from './derive/figure.ts';
import { sheetsOf } from './derive/mains.ts';
import { networkFigures } from './derive/network-figures.ts';
import { resistorFigures } from './derive/resistors.ts';
import { readSet, type SetReadings } from './derive/set-readings.ts';
import { capacitanceOf, stageFigures } from './derive/stages.ts';
import { supplyFigures } from './derive/supply.ts';
import { valveCurrents } from './derive/valve-currents.ts';
import { valveStress } from './derive/valve-stress.ts';
import { averageState } from './expected.ts';
import { lookAt } from './look.ts';
import {
  type Amplifier,
  type Figure,
  type FigureName,
  type FittedPart,
  findValueInUse,
  type PartChange,
  type PhaseView,
} from './model.ts';
import { isBiasNode, isRail } from './points.ts';
import { findSignalRegion, type Held, type SignalRegion, signalElements } from './signal-circuit.ts';
import { isTiedAlike, withPart } from './variant.ts';

/** One figure before and after; absent where there is none, as of a part that is removed. */
export interface EffectLine {
  readonly subject: string;
  readonly figure: FigureName;
  readonly before?: Figure;
  readonly after?: Figure;
}

/** Level at one frequency, over 1 V where it is driven; undefined where nothing at all comes through. */
export interface LevelAt {
  readonly frequency: Quantity<'Hz'>;
  readonly before?: Quantity<'dB'>;
  readonly after?: Quantity<'dB'>;
  /** After less before. */
  readonly change?: Quantity<'dB'>;
}

export interface LevelEffect {
  /** Node that is driven, and node where it is heard. */
  readonly from: string;
  readonly at: string;
  readonly levels: readonly LevelAt[];
  /** The valves' constants are the catalogue's; a setting that nobody wrote is assumed. */
  readonly basis: 'fitted' | 'catalogue' | 'assumed';
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

/** What a change does; undefined where nothing electrical changes or where the part is in no circuit that is known. */
export function effectOf(change: PartChange, amplifier: Amplifier): ChangeEffect | undefined {
  const state = stateFor(change, amplifier);
  if (state === undefined) return undefined;
  const read = lastRead(state, amplifier);
  const base = withReadings(state, read);
  const { was, is } = placed(change, base);
  if (was === undefined && is === undefined) return undefined;
  if (was !== undefined && is !== undefined && isAlike(was, is)) return undefined;
  const states: States = {
    change,
    amplifier,
    base,
    read,
    before: open(withPart(base, change.ref, was), amplifier),
    after: open(withPart(base, change.ref, is), amplifier),
    isElectrical: was === undefined || is === undefined || !isSameElectrically(was, is),
  };
  const held: Held[] = [{ kind: 'parts', phase: base.phase }];
  const direct = directEffects(states, was, is, held);
  const signal = signalEffects(states);
  const levels = states.isElectrical ? levelEffect(states, was, is, held) : undefined;
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

interface States {
  readonly change: PartChange;
  readonly amplifier: Amplifier;
  readonly base: PhaseView;
  /** The phase whose readings stand for it. */
  readonly read: PhaseView;
  readonly before: StateBench;
  readonly after: StateBench;
  /** Not only its ratings. */
  readonly isElectrical: boolean;
}

interface StateBench extends PhaseBench {
  readonly state: PhaseView;
}

/** The state that a change is seen in: as found for what was found, else the last one. */
function stateFor({ is, planned }: PartChange, { phases }: Amplifier): PhaseView | undefined {
  const settled = phases.filter(({ phase }) => phase !== 'noted');
  if (!planned && is?.since === 'as-found') {
    return settled.find(({ phase }) => phase === 'as-found') ?? settled.at(-1);
  }
  return settled.at(-1);
}

/** The state itself where something was read in it, else the last before it. */
function lastRead(state: PhaseView, { phases }: Amplifier): PhaseView {
  if (state.verdictSet !== undefined) return state;
  const earlier = phases.slice(0, phases.indexOf(state));
  return earlier.findLast(({ verdictSet }) => verdictSet !== undefined) ?? state;
}

const borrowed = new WeakMap<PhaseView, PhaseView>();

function withReadings(state: PhaseView, read: PhaseView): PhaseView {
  const known = borrowed.get(state);
  if (known !== undefined || state === read) return known ?? state;
  const { readings, nominals, verdictSet, figures } = read;
  const made = { ...state, readings, nominals, figures, ...(verdictSet && { verdictSet }) };
  borrowed.set(state, made);
  return made;
}

/** Both parts where they sit: connections carry over, and the state's own part counts where it is still the same. */
function placed(change: PartChange, base: PhaseView): Pick<PartChange, 'was' | 'is'> {
  const { was, is, ref } = change;
  const home =
    [is, was, base.parts.get(ref)].find((part) => part !== undefined && part.terminals.size > 0)?.terminals ??
    new Map<string, string>();
  const place = (part: FittedPart | undefined): FittedPart | undefined => {
    if (part === undefined) return undefined;
    const own = base.parts.get(ref);
    if (own !== undefined && own.specification === part.specification && own.since === part.since) return own;
    return part.terminals.size > 0 ? part : { ...part, terminals: home };
  };
  return { was: place(was), is: place(is) };
}

function isAlike(one: FittedPart, other: FittedPart): boolean {
  return one === other || (isSameElectrically(one, other) && ratingsOf(one) === ratingsOf(other));
}

function ratingsOf({ ratings, kinds }: FittedPart): string {
  const { voltage, power, current } = ratings;
  const rated = [voltage, power, current].map((known) => String(known?.quantity.value ?? ''));
  return [...rated, ...[...kinds].sort()].join(' ');
}

function isSameElectrically(one: FittedPart, other: FittedPart): boolean {
  const value = (part: FittedPart) => findValueInUse(part)?.quantity.value;
  const type = ({ type: of }: FittedPart) => of?.valve?.type ?? of?.text;
  const windings = ({ specification }: FittedPart) =>
    specification?.windings
      .map(({ volts, impedance }) => [written(volts), written(impedance)].join())
      .join(' ');
  return (
    value(one) === value(other) &&
    type(one) === type(other) &&
    (windings(one) ?? '') === (windings(other) ?? '') &&
    one.resistance?.quantity.value === other.resistance?.quantity.value &&
    one.measured.at(-1)?.special === other.measured.at(-1)?.special &&
    leakOf(one) === leakOf(other) &&
    isTiedAlike(one, other)
  );
}

/** Insulation of a capacitor as it was read [Ω]. */
function leakOf(part: FittedPart | undefined): number | undefined {
  const leak = part?.measured.findLast(({ quantity: of }) => of === 'insulation');
  return leak?.special === 'open' ? undefined : leak?.value.quantity.value;
}

function written(value: { readonly kind: string; readonly value?: unknown } | undefined): string {
  const of = value?.kind === 'value' ? (value.value as { readonly quantity: Quantity }) : undefined;
  return String(of?.quantity.value ?? '');
}

function open(state: PhaseView, amplifier: Amplifier): StateBench {
  const { sheet } = amplifier;
  const sheets = sheetsOf(amplifier).slice(
    state.phase === 'factory' && amplifier.chassis !== undefined ? 1 : 0,
  );
  return { ...openBench(state, lookAt(state.parts, state.circuit), { sheet, sheets }), state };
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

function restFigures(bench: PhaseBench, read: SetReadings): readonly Figure[] {
  const ledger = createLedger();
  const set = bench.view.verdictSet ?? NO_SET;
  const moment = { file: bench.sheet.uri, phase: bench.view.phase, set: set.id };
  const rest: SetBench = { ...bench, moment, set, read, ledger };
  resistorFigures(rest);
  valveCurrents(rest);
  valveStress(rest);
  capacitorFigures(rest);
  return ledger.all();
}

const NO_SET = {
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
    voltsAcross: () => undefined,
    voltsBetween: () => undefined,
    voltsOfBoth: (one, other) => {
      const [first, second] = [voltsAt(one), voltsAt(other)];
      return first && second && [first, second];
    },
    currentAt: (name) => at(name, 'A'),
    ripplesAt: () => [],
    all: [],
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

function signalEffects({ before, after, change }: States): readonly EffectLine[] {
  const [one, two] = [before, after].map((bench) => {
    const ledger = createLedger();
    const moment = { file: bench.sheet.uri, phase: bench.view.phase, set: 0 };
    stageFigures({ ...bench, moment, ledger });
    networkFigures({ ...bench, moment, ledger });
    supplyFigures({ ...bench, moment, ledger });
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
function levelEffect(
  { before, after }: States,
  was: FittedPart | undefined,
  is: FittedPart | undefined,
  held: Held[],
): LevelEffect | undefined {
  const starts = [...new Set([...(was?.terminals.values() ?? []), ...(is?.terminals.values() ?? [])])];
  const region = findSignalRegion(is === undefined ? before : after, starts);
  if (!region.ok) return undefined;
  const both = new Set([...region.value.refs, ...(was ? [was.ref] : []), ...(is ? [is.ref] : [])]);
  const wide: SignalRegion = { ...region.value, refs: both };
  const one = respond(before, wide);
  const two = respond(after, wide);
  if (one === undefined || two === undefined) return undefined;
  held.push(...one.held, ...two.held, { kind: 'no-strays' });
  const isAssumed = [...one.held, ...two.held].some(
    (each) =>
      each.kind === 'loop-open' ||
      each.kind === 'switch-closed' ||
      (each.kind === 'setting' && each.isAssumed),
  );
  return {
    from: wide.input,
    at: wide.output,
    basis: isAssumed ? 'assumed' : wide.valves.size > 0 ? 'catalogue' : 'fitted',
    levels: TELLING_FREQUENCIES.map((frequency, i) => {
      const [first, second] = [one.levels[i], two.levels[i]];
      return {
        frequency: quantity(frequency, 'Hz'),
        ...(first !== undefined && { before: quantity(first, 'dB') }),
        ...(second !== undefined && { after: quantity(second, 'dB') }),
        ...(first !== undefined && second !== undefined && { change: quantity(second - first, 'dB') }),
      };
    }),
  };
}

function respond(bench: PhaseBench, region: SignalRegion) {
  const circuit = signalElements(bench, region);
  if (!circuit.ok) return undefined;
  const { elements, held } = circuit.value;
  const response = transfer(
    { elements },
    { plus: region.input },
    { plus: region.output },
    TELLING_FREQUENCIES,
  );
  return response.ok ? { levels: levelsOf(response.value), held } : undefined;
}

function eachOnce(held: readonly Held[]): readonly Held[] {
  return [...new Map(held.map((each) => [JSON.stringify(each), each])).values()];
}
