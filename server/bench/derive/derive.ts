/** Owns the order in which families of figures are made, once for the parts of a phase and once for each set of its readings. */
import { createLoop } from '../../sheet/asking.ts';
import type { Phase, QuestionStatement, ReadingSet } from '../../sheet/model.ts';
import { createWatch, type Watch, watchObject, watchSheet } from '../../sheet/watching.ts';
import { createPicker } from '../../text/picking.ts';
import { type FiguresByName, isVerdictSet, type Sets } from '../figures-by-name.ts';
import type { Look } from '../look.ts';
import type { BenchReading, Figure, FigureName, PhaseView } from '../model.ts';
import { createSteps, everyStep, type Steps } from '../steps.ts';
import { type PhaseBench, valvesOf } from './bench.ts';
import { figuresOfSet, type SetFigures, setOnDemand } from './families.ts';
import { createGathering, eachOnce } from './gathering.ts';
import { MEASURED, measurementFigures } from './measurements.ts';
import { networkFigures } from './network-figures.ts';
import { createOnDemand, inOrder, lazily, type OnDemand } from './on-demand.ts';
import { type Answers, answerQuestions } from './questions.ts';
import { type StageBench, stageFigures } from './stages.ts';
import { coldStart, heaters, reflectedLoads } from './supply.ts';
import { supplyLimits } from './supply-limits.ts';

/** What figures of a phase go by beside what is fitted and read in it. */
export interface Derivation extends Pick<PhaseBench, 'sheet' | 'sheets' | 'sense' | 'meter'> {
  readonly questions: readonly QuestionStatement[];
  /** Whether figures of parts alone are wanted: not of a state that a later phase repeats. */
  readonly isState: boolean;
}

/** What lists of the readings of a phase are remembered by; undefined where there is no next time. */
export function readingsThread(phase: Phase, steps: Steps): object | undefined {
  if (steps === everyStep) return undefined;
  return steps(`readings ${phase}`, [], () => ({}));
}

/** The bench of one phase: what every family of figures looks at. */
export function openBench(
  view: PhaseBench['view'],
  look: Look,
  { sheet, sheets, sense, meter }: Pick<PhaseBench, 'sheet' | 'sheets' | 'sense' | 'meter'>,
  steps: Steps = createSteps(),
): PhaseBench {
  const { phase, roles, circuit } = view;
  const parts = look.inOrder;
  const thread = readingsThread(phase, steps);
  const screens = screensRead(view.readings, thread);
  const ohms = ohmsBetween(view.readings, thread);
  return {
    sheet,
    sheets,
    view,
    look,
    parts,
    outputTransformers: steps(`output transformers ${phase}`, [parts, roles], () =>
      parts.filter(({ ref }) => roles.get(ref)?.role === 'output-transformer'),
    ),
    // What is known of a valve's stage is kept with it, and goes by all of these.
    valves: steps(`valves in use ${phase}`, [view.parts, circuit, look, roles, screens], () =>
      valvesOf(view, look),
    ),
    ohmicAt: steps(`ohms ${phase}`, [view.nominals, ohms], () => ohmicReadings([...view.nominals, ...ohms])),
    sense,
    meter,
  };
}

/** The figures of a phase and the questions without an answer; `byName` where figures are made as they are asked for. */
export interface Derived extends Pick<PhaseView, 'figures' | 'unanswered'> {
  readonly byName?: FiguresByName;
}

/** `steps` is what can be taken over of the last time. */
export function deriveFigures(
  view: PhaseBench['view'],
  look: Look,
  from: Derivation,
  steps: Steps = createSteps(),
): Derived {
  return steps === everyStep ? deriveOnDemand(view, look, from) : deriveAll(view, look, from, steps);
}

function deriveAll(view: PhaseBench['view'], look: Look, from: Derivation, steps: Steps): Derived {
  const { questions, isState } = from;
  const phase = openBench(view, look, from, steps);
  const last = steps(`sets ${view.phase}`, [], () => new Map<number, SetFigures>());
  const sets = setsOf(view.readings, readingsThread(view.phase, steps)).map(({ set, readings }) =>
    figuresOfSet(phase, set, readings, last.get(set.id)),
  );
  last.clear();
  for (const each of sets) last.set(each.set.id, each);
  const measured = steps(`measured ${view.phase}`, [view.parts], () =>
    createLoop<BenchReading, Figure>(),
  ).run(view.readings, NOTHING, (reading) => measurementFigures(phase, reading));
  const answers = answerQuestions(phase, questions);
  const gather = steps(`gathered ${view.phase}`, [], createGathering);
  return {
    figures: gather([
      isState ? stateFigures(phase, steps) : NONE,
      ...sets.flatMap(({ lists }) => lists),
      measured,
      answers.figures,
    ]),
    unanswered: steps(`unanswered ${view.phase}`, [answers.unanswered], () => answers.unanswered),
  };
}

/** The same of a sheet that is read once: each figure is made when it is asked for. */
function deriveOnDemand(view: PhaseBench['view'], look: Look, from: Derivation): Derived {
  const { readings } = view;
  const { questions, isState } = from;
  const phase = lazily(() => openBench(view, look, from, everyStep));
  const state = lazily(() => (isState ? [stateOnDemand(phase())] : []));
  const sets = lazily(() =>
    setsOf(readings, undefined).map(({ set, readings: own }) => ({
      id: set.id,
      figures: setOnDemand(phase(), set, own),
    })),
  );
  const measured = lazily(() => readings.flatMap((reading) => measurementFigures(phase(), reading)));
  const answers = lazily(() => (questions.length === 0 ? NO_ANSWERS : answerQuestions(phase(), questions)));
  const all = lazily(() =>
    eachOnce([
      ...state().flatMap((each) => each.lists()),
      ...sets().flatMap(({ figures }) => figures.lists()),
      measured(),
      answers().figures,
    ]),
  );
  const known: Record<Sets, Map<FigureName, readonly Figure[]>> = { verdict: new Map(), all: new Map() };
  const gather = (name: FigureName, which: Sets): readonly Figure[] => {
    const found: (readonly Figure[])[] = [];
    for (const each of state()) each.gather(name, found);
    for (const { id, figures } of sets())
      if (which === 'all' || isVerdictSet(id, view)) figures.gather(name, found);
    const alone = name === 'answer' ? answers().figures : MEASURED.includes(name) ? measured() : NONE;
    const own = alone.filter(
      ({ figure, set }) => figure === name && (which === 'all' || isVerdictSet(set, view)),
    );
    // Each family has its own figures once.
    if (own.length === 0 && found.length < 2) return found[0] ?? NONE;
    return eachOnce([...found, own]);
  };
  return {
    get figures() {
      return all();
    },
    get unanswered() {
      return answers().unanswered;
    },
    byName: (name, which) => {
      let list = known[which].get(name);
      if (list === undefined) {
        list = gather(name, which);
        known[which].set(name, list);
      }
      return list;
    },
  };
}

const NO_ANSWERS: Answers = { figures: [], unanswered: [] };

const NOTHING: ReadonlySet<string> = new Set();
const NONE: readonly Figure[] = [];

/** Figures that need no reading. They are made again only where something that their families looked at has changed. */
function stateFigures(phase: PhaseBench, steps: Steps): readonly Figure[] {
  const { sheet, sheets, view } = phase;
  const slot = steps(`state ${view.phase}`, [], (): { last?: StateFigures } => ({}));
  if (slot.last?.watch.isSameIn(phase) === true) return slot.last.figures;
  const watch = createWatch<PhaseBench>();
  watch.note('sheets', sheets.length, (from) => from.sheets.length);
  const watched = watchObject<PhaseBench, PhaseBench>(phase, 'bench', watch, (from) => from, {
    view: watchObject<PhaseBench['view'], PhaseBench>(view, 'view', watch, (from) => from.view, {}),
    sheet: watchSheet(sheet, 'sheet', watch, (from) => from.sheet),
    sheets: sheets.map((each, i) => watchSheet(each, `sheet ${i}`, watch, (from) => from.sheets[i])),
  });
  const figures = figuresOfState(watched);
  slot.last = { watch, figures };
  return figures;
}

const STATE_FAMILIES = inOrder<StageBench>([
  {
    of: 'all',
    make: stageFigures,
    makes: ['corner', 'shelf-low', 'shelf-high', 'step-db', 'gain', 'gain-db', 'output-impedance'],
  },
  {
    of: 'all',
    make: networkFigures,
    makes: [
      'corner',
      'shelf-low',
      'shelf-high',
      'step-db',
      'level-82',
      'level-400',
      'level-1000',
      'level-5000',
      'feedback-db',
      'gain',
      'gain-db',
      'output-impedance',
      'input-impedance',
    ],
  },
  { of: 'all', make: heaters, makes: ['heater-current'] },
  { of: 'all', make: coldStart, makes: ['cold-voltage'] },
  { of: 'all', make: reflectedLoads, makes: ['reflected-load'] },
  { of: 'all', make: supplyLimits, makes: ['peak-inverse', 'reservoir-loading', 'heater-loading'] },
]);

function stateOnDemand(phase: PhaseBench): OnDemand {
  const moment = { file: phase.sheet.uri, phase: phase.view.phase, set: 0 };
  return createOnDemand(STATE_FAMILIES, (ledger): StageBench => ({ ...phase, moment, ledger }));
}

function figuresOfState(phase: PhaseBench): readonly Figure[] {
  return eachOnce(stateOnDemand(phase).lists());
}

interface StateFigures {
  readonly watch: Watch<PhaseBench>;
  readonly figures: readonly Figure[];
}

/** Screens that something was read at: a valve of unknown type has one then. */
export const screensRead = createPicker(({ at }: BenchReading) => (at.endsWith('.g2') ? at : undefined));

const ohmsBetween = createPicker((reading: BenchReading) =>
  reading.quantity === 'resistance' && reading.toNode !== undefined ? reading : undefined,
);

/** Resistances read from each point to another: the last one counts. */
function ohmicReadings(readings: readonly BenchReading[]): ReadonlyMap<string, BenchReading> {
  const at = new Map<string, BenchReading>();
  for (const reading of readings) {
    const { quantity, node, toNode, special } = reading;
    if (quantity !== 'resistance' || node === undefined || toNode === undefined || special !== undefined)
      continue;
    at.set(node, reading);
    at.set(toNode, reading);
  }
  return at;
}

const inNormalRunning = createPicker((reading: BenchReading) => (reading.normal ? reading : undefined));
const setsOfReadings = createPicker(({ set }: BenchReading) => set);

/** The readings of each set in normal running, in the order of their numbers; nothing is ever taken from two. */
function setsOf(
  readings: readonly BenchReading[],
  thread: object | undefined,
): readonly { readonly set: ReadingSet; readonly readings: readonly BenchReading[] }[] {
  const normal = inNormalRunning(readings, thread);
  const of = setsOfReadings(normal, thread);
  const sets = new Map<number, { set: ReadingSet; readings: BenchReading[] }>();
  for (const [i, reading] of normal.entries()) {
    const set = of[i];
    if (set === undefined) continue;
    const known = sets.get(set.id);
    if (known === undefined) sets.set(set.id, { set, readings: [reading] });
    else known.readings.push(reading);
  }
  return [...sets.values()].sort((a, b) => a.set.id - b.set.id);
}
