/**
 * Owns the laying out of one phase on the bench: its parts placed, what was read in it put to their nodes, the chart that it is
 * held against, and the view of all that with the figures that follow.
 */

import type { Phase, QuestionStatement, ReadingSet, ReadingStatement, Sheet } from '../sheet/model.ts';
import { createPicker } from '../text/picking.ts';
import type { Ohms } from '../units/si.ts';
import { type Derivation, type Derived, deriveFigures, readingsThread } from './derive/derive.ts';
import { lazily } from './derive/on-demand.ts';
import { answerByName } from './figures-by-name.ts';
import { type FittedPhase, type FittingHistory, phaseOf } from './fitting.ts';
import { inheritedChart, readingsStillTrue } from './inherited-chart.ts';
import type { BenchReading, PhaseView } from './model.ts';
import { findOffers, looseParts } from './offers.ts';
import { type PlacedPhase, type Placing, placePhase } from './placed-parts.ts';
import { benchReading } from './readings.ts';
import type { InForce } from './renumbering.ts';
import { questionsAsked, readingsTaken, threadOf } from './sorted-statements.ts';
import type { Steps } from './steps.ts';

/** What every phase of one amplifier is laid out by. */
export interface Laying extends Placing {
  /** The chassis sheets, oldest first: what they say is the factory's. */
  readonly chassis: readonly InForce[];
  /** The sheets under the job where its mains holds are looked for, the nearest first; the shop's last. */
  readonly under: readonly Sheet[];
  readonly sense?: Ohms;
  readonly meter?: Ohms;
}

/** All of one phase. */
export interface LaidOut {
  readonly placed: PlacedPhase;
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

/** Lays out a phase after the one `before` it. */
export function layOut(fitted: FittedPhase, before: LaidOut | undefined, laying: Laying): LaidOut {
  const { history, chassis, last, steps } = laying;
  const { phase } = fitted;
  const isFactory = phase === 'factory';
  const placed = placePhase(fitted, before?.placed, laying);
  const sheets = isFactory ? chassis : [last];
  const readings = readingsOf(sheets, placed, steps);
  const inherited = before?.inherited ?? [];
  const allNominals = [...inherited, ...nominalOnes(readings, readingsThread(phase, steps))];
  const nominals = steps(`nominals ${phase}`, [allNominals], () => allNominals);
  const from = sheets.at(-1) ?? last;
  const taken = isFactory
    ? readingsStillTrue(readings, {
        files: chassis.map(({ uri }) => uri),
        fittings: history.revisions,
        parts: placed.parts,
        circuit: placed.netlist.circuit,
      })
    : readings;
  const figured = figuresOf(placed, taken, nominals, steps, {
    sheet: from.sheet,
    sheets: isFactory ? laying.under : [last.sheet, ...laying.under],
    questions: questionsOf(from, phase),
    isState: isState(phase, history),
    sense: laying.sense,
    meter: laying.meter,
  });
  return { placed, inherited: isFactory ? nominals : inherited, figured };
}

function figuresOf(
  { fitted: { phase }, parts, netlist: { circuit }, look, roles }: PlacedPhase,
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
export function viewOf({ figured: { base, derived, offers } }: LaidOut): PhaseView {
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
  { fitted: { phase }, netlist: { circuit }, valves: { findElectrode } }: PlacedPhase,
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
