/**
 * Owns the making of an Amplifier from sheets: the chassis sheet and the job put together phase by phase, what was read
 * placed in the circuit of its phase, and the figures that follow.
 */
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Ref } from '../dialect/tree.ts';
import { isSameList } from '../sheet/keeping.ts';
import type {
  Phase,
  QuestionStatement,
  ReadingSet,
  ReadingStatement,
  Sheet,
  Statement,
} from '../sheet/model.ts';
import { createWatch, type Watch, watchSheet } from '../sheet/watching.ts';
import { createPicker } from '../text/picking.ts';
import type { Ohms } from '../units/si.ts';
import { type Derivation, type Derived, deriveFigures, readingsThread } from './derive/derive.ts';
import { lazily } from './derive/on-demand.ts';
import { answerByName } from './figures-by-name.ts';
import { type FittedPhase, type Fitting, type FittingHistory, followChassis, followJob } from './fitting.ts';
import { inheritedChart, readingsStillTrue } from './inherited-chart.ts';
import { type Look, lookAt } from './look.ts';
import type {
  Amplifier,
  BenchReading,
  FittedPart,
  PartChange,
  PartState,
  PhaseView,
  RoleFound,
  Seen,
} from './model.ts';
import { buildNetlist, isWiredAlike, type Netlist } from './netlist.ts';
import { findNetworks } from './networks.ts';
import { findOffers, looseParts } from './offers.ts';
import { partFrom, sectionOf } from './parts.ts';
import { nameOfPoint } from './points.ts';
import { benchReading } from './readings.ts';
import { type InForce, inLastNames, isRenumbering, statementsInForce } from './renumbering.ts';
import { areToldAlike, findRoles } from './roles.ts';
import {
  partsSeen,
  phasesNamed,
  questionsAsked,
  readingsOfParts,
  readingsTaken,
  statementsThatFit,
  statesWritten,
  threadOf,
  valveTalk,
} from './sorted-statements.ts';
import { createSteps, everyStep, type Steps } from './steps.ts';
import {
  asBefore,
  pinsOfSections,
  pinsOfWholes,
  readValves,
  type SectionConvention,
  speaksOfValves,
  typeFrom,
  type Valves,
  valveRefsIn,
  valvesFitted,
} from './valves.ts';

export interface ResolveOptions {
  /** The revisions that the chassis sheet follows, oldest first: everything is inherited from them. */
  readonly follows?: readonly Sheet[];
  /** Its mains holds where neither the job nor its chassis sheet says one. */
  readonly shopSheet?: Sheet;
  /** A shop that always puts this resistor under its cathodes (`sense: 1R`). */
  readonly sense?: Ohms;
  /** Input resistance of the shop's voltmeter; 10 MΩ is assumed where nobody says. */
  readonly meter?: Ohms;
  /** A shop that always numbers the halves of twins one way: `{ A: '1', B: '2' }`. What a sheet says itself goes before. */
  readonly sections?: SectionConvention;
}

/** One amplifier from a job sheet and the chassis sheet under it, or from a chassis sheet alone. */
export function resolveAmplifier(
  job: Sheet,
  chassis: Sheet | undefined,
  catalogue: Catalogue,
  options: ResolveOptions = {},
): Amplifier {
  const { follows = [], shopSheet } = options;
  const from: Sources = {
    job,
    ...(chassis !== undefined && job.kind !== 'chassis' && { chassis }),
    follows,
    ...(shopSheet !== undefined && { shopSheet }),
  };
  return {
    sheet: job,
    ...(from.chassis && { chassis: from.chassis }),
    follows,
    ...(shopSheet && { shopSheet }),
    ...resolve(from, catalogue, options),
  };
}

/** The sheets that an amplifier is made of. */
interface Sources {
  readonly job: Sheet;
  readonly chassis?: Sheet;
  readonly follows: readonly Sheet[];
  readonly shopSheet?: Sheet;
}

type Resolved = Pick<Amplifier, 'phases' | 'changes' | 'states' | 'seen' | 'repeats'>;

interface Kept {
  readonly catalogue: Catalogue;
  readonly options: ResolveOptions;
  readonly watch: Watch<Sources>;
  readonly resolved: Resolved;
}

/** By the thread of the job's notes, the latest first. One sheet may lie in several amplifiers: a chassis alone and as a target. */
const keptOf = new WeakMap<object, readonly Kept[]>();
const KEPT = 3;

/** Where not all is the same, the steps that are the same, by the same thread. */
const stepsOf = new WeakMap<object, Steps>();

/** What follows from the sheets: what followed from them before, where all of it that counts is the same. */
function resolve(from: Sources, catalogue: Catalogue, options: ResolveOptions): Resolved {
  const { thread } = from.job.note;
  if (thread === undefined) return resolveAfresh(from, catalogue, options, everyStep);
  const kept = keptOf.get(thread) ?? [];
  const known = kept.find(
    (each) =>
      each.catalogue === catalogue &&
      each.options.sense === options.sense &&
      each.options.meter === options.meter &&
      each.options.sections === options.sections &&
      each.watch.isSameIn(from),
  );
  if (known !== undefined) return known.resolved;
  const watch = createWatch<Sources>();
  const steps = stepsOf.get(thread) ?? createSteps();
  stepsOf.set(thread, steps);
  const resolved = resolveAfresh(watchSources(from, watch), catalogue, options, steps);
  keptOf.set(thread, [{ catalogue, options, watch, resolved }, ...kept].slice(0, KEPT));
  return resolved;
}

function watchSources(from: Sources, watch: Watch<Sources>): Sources {
  const { job, chassis, follows, shopSheet } = from;
  watch.note('chassis', chassis !== undefined, (next) => next.chassis !== undefined);
  watch.note('follows', follows.length, (next) => next.follows.length);
  watch.note('shop sheet', shopSheet !== undefined, (next) => next.shopSheet !== undefined);
  const watched: Sources = {
    job: watchSheet(job, 'job', watch, (next) => next.job),
    ...(chassis && { chassis: watchSheet(chassis, 'chassis', watch, (next) => next.chassis) }),
    follows: follows.map((each, i) => watchSheet(each, `follows ${i}`, watch, (next) => next.follows[i])),
    ...(shopSheet && { shopSheet: watchSheet(shopSheet, 'shop', watch, (next) => next.shopSheet) }),
  };
  // What is worked out of a view later, and kept with it, goes by the mains.
  for (const sheet of [watched.job, watched.chassis, ...watched.follows, watched.shopSheet])
    sheet?.field('mains');
  return watched;
}

/** What was made of chassis sheets for those that are read once, by the last of them: all jobs on it go on from there. */
const sharedBy = new WeakMap<Sheet, Steps>();
/** A job may speak of a valve that its chassis sheet does not name, so that there is more than one answer. */
const SHARED = 4;

function stepsUnder(chassis: Sheet): Steps {
  const known = sharedBy.get(chassis) ?? createSteps(SHARED);
  sharedBy.set(chassis, known);
  return known;
}

function resolveAfresh(
  { job, chassis, follows, shopSheet }: Sources,
  catalogue: Catalogue,
  options: ResolveOptions,
  steps: Steps,
): Resolved {
  const isChassis = job.kind === 'chassis';
  const shop = shopSheet === undefined ? [] : [shopSheet];
  const under = [...follows, ...(isChassis ? [job] : chassis ? [chassis] : [])];
  const lowest = under.at(-1);
  const ground = steps === everyStep && lowest !== undefined ? stepsUnder(lowest) : undefined;
  const underInForce =
    !isChassis && isRenumbering(job)
      ? inLastNames([...under, job]).slice(0, under.length)
      : (ground ?? everyStep)('in force', under, () => inLastNames(under));
  const own = isChassis ? undefined : { uri: job.uri, sheet: job, statements: statementsInForce(job) };
  const inForce = own === undefined ? underInForce : [...underInForce, own];
  const last = inForce.at(-1) ?? { uri: job.uri, sheet: job, statements: [] };
  const makeFoundation = () => followChassis(underInForce);
  const foundation =
    ground === undefined
      ? steps(
          'fittings under',
          () => underInForce.flatMap((each) => [each.uri, statementsThatFit(each)]),
          makeFoundation,
        )
      : ground('fittings under', underInForce, makeFoundation);
  const history =
    own === undefined
      ? foundation
      : steps(
          'fittings',
          () => [foundation, phasesNamed(own), own.uri, statementsThatFit(own)],
          () => followJob(foundation, own),
        );
  const { named, pins, wholes, talk } = steps(
    'talk of valves',
    () => inForce.map(valveTalk),
    () => {
      const ofChassis = (ground ?? everyStep)('talk of valves', underInForce, () =>
        underInForce.flatMap(({ statements }) => statements.filter(speaksOfValves)),
      );
      const all = [...ofChassis, ...(own?.statements ?? []).filter(speaksOfValves)];
      const ofWholes = pinsOfWholes(all);
      return {
        named: valveRefsIn(all),
        pins: pinsOfSections(all),
        wholes: ofWholes,
        talk: [...ofWholes].flatMap(([whole, { pins: those, isOne }]) => [whole, isOne, ...those]),
      };
    },
  );
  const valveInputs = (): readonly unknown[] => [
    [...named.keys()],
    [...pins].flat(),
    talk,
    catalogue,
    options.sections,
  ];

  const layOut = (fitted: FittedPhase, before: LaidOut | undefined): LaidOut => {
    const { phase } = fitted;
    const isFactory = phase === 'factory';
    const made = placeParts(fitted, before?.made);
    const { parts, netlist, valves } = made;
    const sheets = isFactory ? underInForce : [last];
    const readings = readingsOf(sheets, phase, netlist, valves, steps);
    const inherited = before?.inherited ?? [];
    const allNominals = [...inherited, ...nominalOnes(readings, readingsThread(phase, steps))];
    const nominals = steps(`nominals ${phase}`, [allNominals], () => allNominals);
    const from = sheets.at(-1) ?? last;
    const files = underInForce.map(({ uri }) => uri);
    const taken = isFactory
      ? readingsStillTrue(readings, { files, fittings: history.revisions, parts, circuit: netlist.circuit })
      : readings;
    const figured = figuresOf(phase, made, taken, nominals, steps, {
      sheet: from.sheet,
      sheets: [...(isFactory ? [] : [job]), ...[...under].reverse(), ...shop],
      questions: questionsOf(from, phase),
      isState: isState(phase, history),
      sense: options.sense,
      meter: options.meter,
    });
    return { made, inherited: isFactory ? nominals : inherited, figured };
  };

  const placeParts = (fitted: FittedPhase, before: Made | undefined): Made => {
    const { phase } = fitted;
    // What was left as it was need not be traced again.
    const tubes = valvesFitted(fitted);
    const valves: Valves =
      before !== undefined && isSameList(before.tubes, tubes)
        ? before.valves
        : steps(
            `valves ${phase}`,
            () => [before?.valves, fitted, ...valveInputs()],
            () =>
              asBefore(before?.valves, readValves(fitted, named, pins, wholes, catalogue, options.sections)),
          );
    const isTiedAsBefore =
      before?.valves.findElectrode === valves.findElectrode && isWiredAlike(before.fitted, fitted);
    const netlist: Netlist =
      isTiedAsBefore && before
        ? before.netlist
        : steps(`netlist ${phase}`, [fitted, valves], () =>
            buildNetlist(fitted, valves.findElectrode, valves.electrodes, valves.pinned),
          );
    const measured = measurementsOf(fitted, history, last, netlist, valves);
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
  };

  const phases: PhaseView[] = [];
  let before: LaidOut | undefined;
  for (const fitted of history.phases) {
    const laidOut: LaidOut =
      ground === undefined || fitted.phase !== 'factory'
        ? layOut(fitted, before)
        : ground('factory', [foundation, ...valveInputs(), options.sense, options.meter, shopSheet], () =>
            layOut(fitted, undefined),
          );
    phases.push(viewOf(laidOut.figured));
    before = laidOut;
  }

  return {
    phases,
    changes: steps('changes', [history, phases.map(({ parts }) => parts), catalogue], () =>
      history.changes.map((change) => changeOf(change, history, phases, catalogue)),
    ),
    states: steps('states', [isChassis, last.uri, statesWritten(last)], () => statesOf(last, isChassis)),
    seen: steps(
      'seen',
      inForce.flatMap((each) => [each.uri, partsSeen(each)]),
      () => seenIn(inForce),
    ),
    repeats: history.repeats,
  };
}

/** Parts in their places. */
interface Placed {
  readonly fitted: FittedPhase;
  readonly valves: Valves;
  readonly netlist: Netlist;
  readonly parts: ReadonlyMap<string, FittedPart>;
}

/** What was made of one phase, for the next. */
interface Made extends Placed {
  /** The valves among what is fitted. */
  readonly tubes: readonly Fitting[];
  readonly look: Look;
  readonly roles: ReadonlyMap<string, RoleFound>;
}

/** All of one phase. */
interface LaidOut {
  readonly made: Made;
  /** The chart that all later phases are held against. */
  readonly inherited: readonly BenchReading[];
  readonly figured: Figured;
}

/** What is told of a phase, as far as nobody needs to ask for it. */
interface Figured {
  readonly base: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>;
  readonly derived: Derived;
  readonly offers: () => PhaseView['offers'];
}

function figuresOf(
  phase: Phase,
  { parts, netlist: { circuit }, look, roles }: Made,
  readings: readonly BenchReading[],
  nominals: readonly BenchReading[],
  steps: Steps,
  from: Derivation,
): Figured {
  const isFactory = phase === 'factory';
  // A chassis sheet's chart is what should be; the figures of that phase are made of it all the same.
  const thread = readingsThread(phase, steps);
  const taken = isFactory ? readings : ownOnes(readings, thread);
  const verdictSet = verdictSetOf(taken, thread);
  const base = { phase, parts, readings: taken, nominals, roles, circuit, verdictSet, thread };
  const derived = deriveFigures(base, look, from, steps);
  const offers = lazily(() => {
    const loose = steps(`loose ${phase}`, [parts], () => looseParts(parts));
    const found = findOffers(base, loose);
    return steps(`offers ${phase}`, [found], () => found);
  });
  return { base, derived, offers };
}

/** A view of its own for each amplifier: what is kept by it may go by the whole amplifier. */
function viewOf({ base, derived, offers }: Figured): PhaseView {
  const view: PhaseView = {
    ...base,
    get figures() {
      return derived.figures;
    },
    get offers() {
      return offers();
    },
    get unanswered() {
      return derived.unanswered;
    },
  };
  if (derived.byName !== undefined) answerByName(view, derived.byName);
  return view;
}

/** Corners and the like are told of the states that a reader compares: not of the middle of the work, unless it ends there. */
function isState(phase: Phase, history: FittingHistory): boolean {
  if (phase === 'noted') return false;
  return phase !== 'work' || !history.phases.some((each) => each.phase === 'as-left');
}

function questionsOf(from: InForce, phase: Phase): readonly QuestionStatement[] {
  return questionsAsked(from).filter((statement) => phase === 'factory' || phaseOf(statement) === phase);
}

const nominalOnes = createPicker((reading: BenchReading) => (reading.nominal ? reading : undefined));
const ownOnes = createPicker((reading: BenchReading) => (reading.nominal ? undefined : reading));

/** The last set in normal running that holds direct volts or currents; else the last in normal running with anything read. */
function verdictSetOf(readings: readonly BenchReading[], thread: object | undefined): ReadingSet | undefined {
  return lastOf(setsOfCharts(readings, thread)) ?? lastOf(setsOfAll(readings, thread));
}

const setsOfAll = createPicker(({ set, normal }: BenchReading) => (normal && set.id !== 0 ? set : undefined));

const setsOfCharts = createPicker(({ set, normal, quantity, at }: BenchReading) => {
  const isChart = (quantity === 'voltage' || quantity === 'current') && at !== 'mains';
  return isChart && normal && set.id !== 0 ? set : undefined;
});

const lastSets = new WeakMap<readonly ReadingSet[], { readonly last: ReadingSet | undefined }>();

function lastOf(sets: readonly ReadingSet[]): ReadingSet | undefined {
  const known = lastSets.get(sets);
  if (known !== undefined) return known.last;
  let last: ReadingSet | undefined;
  for (const set of sets) if (last === undefined || set.id > last.id) last = set;
  lastSets.set(sets, { last });
  return last;
}

function readingsOf(
  sheets: readonly InForce[],
  phase: Phase,
  { circuit }: Netlist,
  { findElectrode }: Valves,
  steps: Steps,
): readonly BenchReading[] {
  const bySheet = sheets.map((from) => {
    const { sheet, uri } = from;
    const { sets } = sheet;
    const thread = threadOf(sheet);
    const place = steps(`placing ${phase} ${uri}`, [sets, circuit, findElectrode], () =>
      createPicker((statement: ReadingStatement) => {
        if (phase !== 'factory' && phaseOf(statement) !== phase) return undefined;
        const nominal = statement.nominal || phase === 'factory';
        // What was read on a part is asked for again, for its measurements.
        const isKept = thread !== undefined || statement.at.kind === 'ref';
        return benchReading(statement, { uri, sets }, phase, circuit, findElectrode, nominal, isKept);
      }),
    );
    return place(readingsTaken(from), thread);
  });
  return inheritedChart(bySheet);
}

/** A job sheet has no factory phase of its own. */
function phaseOf({ phase }: Statement): Phase {
  return phase === 'factory' ? 'as-found' : phase;
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
  history: FittingHistory,
  job: InForce,
  { circuit }: Netlist,
  { findElectrode }: Valves,
): ReadonlyMap<string, readonly BenchReading[]> {
  const measured = new Map<string, BenchReading[]>();
  if (phase === 'factory') return measured;
  const order = history.phases.map((each) => each.phase);
  for (const statement of readingsOfParts(job)) {
    if (statement.at.kind !== 'ref' || statement.to !== undefined || !OF_PART.has(statement.quantity))
      continue;
    const when = phaseOf(statement);
    if (order.indexOf(when) > order.indexOf(phase)) continue;
    const fitting = fittings.get(statement.at.name);
    if (fitting === undefined) continue;
    if (history.generationAt(fitting.ref.name, when, statement.span) !== fitting.generation) continue;
    const reading = benchReading(statement, job.sheet, when, circuit, findElectrode, false, true);
    if (reading === undefined) continue;
    const list = measured.get(fitting.ref.name);
    if (list === undefined) measured.set(fitting.ref.name, [reading]);
    else list.push(reading);
  }
  return measured;
}

function changeOf(
  change: FittingHistory['changes'][number],
  history: FittingHistory,
  phases: readonly PhaseView[],
  catalogue: Catalogue,
): PartChange {
  const { ref, work, planned, source } = change;
  const asPart = (fitting: Fitting | undefined): FittedPart | undefined => {
    if (fitting === undefined) return undefined;
    // As it was last seen: with all that was read on it until it went.
    const index = history.phases.findLastIndex(
      ({ fittings }) => fittings.get(ref)?.generation === fitting.generation,
    );
    const placed = phases[index]?.parts.get(ref);
    const written = fitting.ref.class === 'valve' ? fitting.specification?.type : undefined;
    const type =
      placed?.specification === fitting.specification
        ? placed?.type
        : written && typeFrom(written, (fitting.specificationSource ?? fitting.source).file, catalogue);
    return partFrom(fitting, {
      terminals: placed?.terminals ?? new Map(),
      measured: placed?.measured ?? [],
      type: type || undefined,
      valveSection: undefined,
    });
  };
  const was = asPart(change.was);
  const is = asPart(change.is);
  return { ref, was, is, work, planned, source };
}

/** What was looked at and what was not: the last word on each part, the job's before the chassis sheets'. */
function seenIn(sheets: readonly InForce[]): Amplifier['seen'] {
  const seen = new Map<string, Seen>();
  for (const sheet of sheets)
    for (const { ref, says, span } of partsSeen(sheet))
      seen.set(ref, { says, source: { file: sheet.uri, span } });
  return seen;
}

function statesOf(job: InForce, isChassis: boolean): readonly PartState[] {
  return statesWritten(job).map((statement) => {
    const { subject } = statement;
    const { name } = subject.kind === 'ref' ? subject : nameOfPoint(subject, () => undefined);
    return {
      subject: name,
      state: statement.state,
      phase: isChassis ? 'factory' : phaseOf(statement),
      source: { file: job.uri, span: statement.span },
    };
  });
}
