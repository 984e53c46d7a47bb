/** Owns the order in which families of figures are made, once for the parts of a phase and once for each set of its readings. */
import type { QuestionStatement, ReadingSet, Sheet } from '../../sheet/model.ts';
import { createWatch, type Watch, watchObject, watchSheet } from '../../sheet/watching.ts';
import type { Ohms } from '../../units/si.ts';
import type { Look } from '../look.ts';
import type { BenchReading, Figure, PhaseView } from '../model.ts';
import { compareNames } from '../points.ts';
import { createSteps, type Steps } from '../steps.ts';
import { createLedger, type PhaseBench, type SetBench, valvesOf } from './bench.ts';
import { capacitorFigures } from './capacitors.ts';
import { leakageFigures } from './leakage.ts';
import { measurementFigures } from './measurements.ts';
import { withoutMeter } from './meter-load.ts';
import { networkFigures } from './network-figures.ts';
import { pairFigures } from './pairs.ts';
import { answerQuestions } from './questions.ts';
import { resistorFigures } from './resistors.ts';
import { rippleFigures } from './ripples.ts';
import { readSet } from './set-readings.ts';
import { smoothingFigures } from './smoothing-figures.ts';
import { stageFigures } from './stages.ts';
import { supplyFigures } from './supply.ts';
import { supplyBudget } from './supply-budget.ts';
import { valveCurrents } from './valve-currents.ts';
import { valveStress } from './valve-stress.ts';

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

/** Families in the order in which they build on each other. */
const FAMILIES: readonly ((bench: SetBench) => void)[] = [
  resistorFigures,
  valveCurrents,
  valveStress,
  capacitorFigures,
  leakageFigures,
  rippleFigures,
  smoothingFigures,
  supplyBudget,
  pairFigures,
];

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
  const screens = view.readings.flatMap(({ at }) => (at.endsWith('.g2') ? [at] : []));
  const ohmic = ohmicReadings([...view.nominals, ...view.readings]);
  return {
    sheet,
    sheets,
    view,
    look,
    parts,
    outputTransformers: parts.filter(({ ref }) => roles.get(ref)?.role === 'output-transformer'),
    // What is known of a valve's stage is kept with it, and goes by all of these.
    valves: steps(`valves in use ${phase}`, [view.parts, circuit, look, roles, screens], () =>
      valvesOf(view, look),
    ),
    ohmicAt: steps(`ohms ${phase}`, [[...ohmic.keys()], [...ohmic.values()]], () => ohmic),
    ...(sense !== undefined && { sense }),
    ...(meter !== undefined && { meter }),
  };
}

export function deriveFigures(of: Derivation): Pick<PhaseView, 'figures' | 'unanswered'> {
  const { sheet, sheets, questions, isState, sense, meter, look, steps, ...view } = of;
  const said = { ...(sense !== undefined && { sense }), ...(meter !== undefined && { meter }) };
  const phase = openBench(view, look, { sheet, sheets, ...said }, steps);
  const figures = new Map<string, Figure>();
  const keep = (made: readonly Figure[]): void => {
    for (const figure of made) figures.set(`${figure.set} ${figure.figure} ${figure.subject}`, figure);
  };
  if (isState) keep(stateFigures(phase, steps));
  for (const [set, readings] of setsOf(view.readings)) {
    const ledger = createLedger();
    const moment = { file: sheet.uri, phase: view.phase, set: set.id };
    const bench: SetBench = { ...phase, moment, set, read: withoutMeter(phase, readSet(readings)), ledger };
    for (const family of FAMILIES) family(bench);
    keep(ledger.all());
  }
  keep(measurementFigures(phase));
  const answers = answerQuestions(phase, questions);
  keep(answers.figures);
  return { figures: [...figures.values()], unanswered: answers.unanswered };
}

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
  const ledger = createLedger();
  const bench = { ...watched, moment: { file: sheet.uri, phase: view.phase, set: 0 }, ledger };
  stageFigures(bench);
  networkFigures(bench);
  supplyFigures(bench);
  const figures = ledger.all();
  slot.last = { watch, figures };
  return figures;
}

interface StateFigures {
  readonly watch: Watch<PhaseBench>;
  readonly figures: readonly Figure[];
}

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

/** The readings of each set in normal running; nothing is ever taken from two. */
function setsOf(readings: readonly BenchReading[]): ReadonlyMap<ReadingSet, readonly BenchReading[]> {
  const sets = new Map<number, { set: ReadingSet; readings: BenchReading[] }>();
  for (const reading of readings) {
    if (!reading.normal) continue;
    const known = sets.get(reading.set.id);
    if (known === undefined) sets.set(reading.set.id, { set: reading.set, readings: [reading] });
    else known.readings.push(reading);
  }
  return new Map(
    [...sets.values()].sort((a, b) => a.set.id - b.set.id).map(({ set, readings: of }) => [set, of]),
  );
}
