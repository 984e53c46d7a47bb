/** Owns the order in which families of figures are made, once for the parts of a phase and once for each set of its readings. */
import { createLoop } from '../../sheet/asking.ts';
import type { Phase, QuestionStatement, ReadingSet, Sheet } from '../../sheet/model.ts';
import { createWatch, type Watch, watchObject, watchSheet } from '../../sheet/watching.ts';
import { createPicker } from '../../text/picking.ts';
import type { Ohms } from '../../units/si.ts';
import type { Look } from '../look.ts';
import type { BenchReading, Figure, PhaseView } from '../model.ts';
import { compareNames } from '../points.ts';
import { createSteps, everyStep, type Steps } from '../steps.ts';
import { createLedger, type PhaseBench, valvesOf } from './bench.ts';
import { figuresOfSet, type SetFigures } from './families.ts';
import { createGathering } from './gathering.ts';
import { measurementFigures } from './measurements.ts';
import { networkFigures } from './network-figures.ts';
import { answerQuestions } from './questions.ts';
import { stageFigures } from './stages.ts';
import { supplyFigures } from './supply.ts';

export interface Derivation extends Omit<PhaseView, 'figures' | 'offers' | 'unanswered'> {
  /** The sheet whose phase it is. */
  readonly sheet: Sheet;
  /** That sheet first, then those under it. */
  readonly sheets: readonly Sheet[];
  readonly look: Look;
  readonly questions: readonly QuestionStatement[];
  /** Whether figures of parts alone are wanted: not of a state that a later phase repeats. */
  readonly isState: boolean;
  readonly sense?: Ohms;
  readonly meter?: Ohms;
  /** What can be taken over of the last time. */
  readonly steps: Steps;
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
  const parts = steps(`parts in order ${phase}`, [view.parts], () =>
    [...view.parts.values()].sort((a, b) => compareNames(a.ref, b.ref)),
  );
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
    ...(sense !== undefined && { sense }),
    ...(meter !== undefined && { meter }),
  };
}

export function deriveFigures(of: Derivation): Pick<PhaseView, 'figures' | 'unanswered'> {
  const { sheet, sheets, questions, isState, sense, meter, look, steps, ...view } = of;
  const said = { ...(sense !== undefined && { sense }), ...(meter !== undefined && { meter }) };
  const phase = openBench(view, look, { sheet, sheets, ...said }, steps);
  const last = steps(`sets ${view.phase}`, [], () => new Map<number, SetFigures>());
  const sets = [...setsOf(view.readings, readingsThread(view.phase, steps))].map(([set, readings]) =>
    figuresOfSet(phase, set, readings, last.get(set.id), steps === everyStep),
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

const NOTHING: ReadonlySet<string> = new Set();
const NONE: readonly Figure[] = [];

/** Figures that need no reading. They are made again only where something that their families looked at has changed. */
function stateFigures(phase: PhaseBench, steps: Steps): readonly Figure[] {
  const { sheet, sheets, view } = phase;
  if (steps === everyStep) return figuresOfState(phase);
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

function figuresOfState(phase: PhaseBench): readonly Figure[] {
  const { sheet, view } = phase;
  const ledger = createLedger();
  const bench = { ...phase, moment: { file: sheet.uri, phase: view.phase, set: 0 }, ledger };
  stageFigures(bench);
  networkFigures(bench);
  supplyFigures(bench);
  return ledger.all();
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

/** The readings of each set in normal running, by its number; nothing is ever taken from two. */
function setsOf(
  readings: readonly BenchReading[],
  thread: object | undefined,
): ReadonlyMap<ReadingSet, readonly BenchReading[]> {
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
  return new Map(
    [...sets.values()].sort((a, b) => a.set.id - b.set.id).map(({ set, readings: own }) => [set, own]),
  );
}
