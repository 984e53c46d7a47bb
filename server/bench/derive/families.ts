/**
 * Owns the families of figures that a set's readings make, in the order in which they build on each other, and making again of
 * them only what has changed: each part and each valve is remembered with the names of what it asked for (what was read at a
 * node, what was figured of a part), and is worked anew when something else is known of one.
 */
import { ask, createLoop, type Loop, type Touched } from '../../sheet/asking.ts';
import { isSameList } from '../../sheet/keeping.ts';
import type { ReadingSet, Sheet } from '../../sheet/model.ts';
import { createWatch, type Watch, watchSheet } from '../../sheet/watching.ts';
import { differenceOf } from '../../text/stretch.ts';
import type { BenchReading, Figure, FigureName, FittedPart } from '../model.ts';
import { namesBetween } from '../readings.ts';
import { type Ledger, type PhaseBench, type SetBench, setBench, type ValveAt } from './bench.ts';
import { chargeOfCapacitor, voltsOnCapacitor } from './capacitors.ts';
import { leakageOfCapacitor } from './leakage.ts';
import { withoutMeter } from './meter-load.ts';
import { createOnDemand, type Family, inOrder, type OnDemand } from './on-demand.ts';
import { pairFigures } from './pairs.ts';
import { figuresOfResistor } from './resistors.ts';
import { rippleFigures } from './ripples.ts';
import { ANYTHING, readSet } from './set-readings.ts';
import { smoothingBehind } from './smoothing-figures.ts';
import { supplyBudget, supplyUnderLoad } from './supply-budget.ts';
import { currentsOfValve } from './valve-currents.ts';
import { stressOfValve } from './valve-stress.ts';

const FAMILIES = inOrder<SetBench>([
  { of: 'parts', make: figuresOfResistor, makes: ['drop', 'current', 'dissipation', 'loading'] },
  { of: 'valves', make: currentsOfValve, makes: ['cathode-current', 'anode-current', 'screen-current'] },
  {
    of: 'valves',
    make: stressOfValve,
    makes: ['anode-dissipation', 'anode-loading', 'screen-dissipation', 'screen-loading', 'bias'],
  },
  { of: 'parts', make: voltsOnCapacitor, makes: ['voltage', 'margin'] },
  { of: 'parts', make: chargeOfCapacitor, makes: ['energy', 'bleed-time'] },
  { of: 'parts', make: leakageOfCapacitor, makes: ['insulation'] },
  { of: 'all', make: rippleFigures, makes: ['ripple', 'effective-capacitance', 'current'] },
  {
    of: 'parts',
    make: smoothingBehind,
    makes: ['attenuation', 'attenuation-by-parts', 'effective-capacitance'],
  },
  { of: 'all', make: supplyBudget, makes: ['current', 'current-loading', 'peak-current'] },
  { of: 'all', make: supplyUnderLoad, makes: ['loaded-voltage', 'loaded-ripple'] },
  { of: 'all', make: pairFigures, makes: ['mismatch'] },
]);

/** The figures of a set as they are asked for. */
export function setOnDemand(phase: PhaseBench, set: ReadingSet, readings: readonly BenchReading[]): OnDemand {
  const moment = { file: phase.sheet.uri, phase: phase.view.phase, set: set.id };
  return createOnDemand(
    FAMILIES,
    (ledger): SetBench => setBench(phase, moment, set, withoutMeter(phase, readSet(readings)), ledger),
  );
}

/** The figures of one set as they were made last, and what can be taken over of them. */
export interface SetFigures {
  /** By family. */
  readonly lists: readonly (readonly Figure[])[];
  readonly phase: PhaseBench;
  readonly set: ReadingSet;
  readonly readings: readonly BenchReading[];
  readonly sheets: Watch<PhaseBench>;
  readonly loops: readonly Loop<object, Figure>[];
  readonly made: readonly Map<string, Figure>[];
}

/** All figures of a set of readings; `last` is what it gave of the same set of the same phase before. */
export function figuresOfSet(
  phase: PhaseBench,
  set: ReadingSet,
  readings: readonly BenchReading[],
  last: SetFigures | undefined,
): SetFigures {
  const known = last !== undefined && isSameBeside(last, phase, set) ? last : undefined;
  if (known !== undefined && isSameList(known.readings, readings)) return { ...known, phase, readings };
  const sheets = known?.sheets ?? createWatch<PhaseBench>();
  const loops = known?.loops ?? FAMILIES.list.map(() => createLoop<object, Figure>());
  const made = known?.made ?? FAMILIES.list.map(() => new Map<string, Figure>());
  const touched: Set<string> | 'all' =
    known === undefined ? 'all' : namesBetween(known.readings, readings).add(ANYTHING);
  const ledger = createFamilyLedger(made);
  const watched = watchPhase(phase, sheets);
  const moment = { file: phase.sheet.uri, phase: phase.view.phase, set: set.id };
  const bench = setBench(watched, moment, set, withoutMeter(watched, readSet(readings, made)), ledger);
  const lists = FAMILIES.list.map((family, index): readonly Figure[] => {
    const before = known?.lists[index] ?? [];
    const list = runFamily(family, bench, ledger, index, loops[index], touched);
    if (list !== before) ledger.replace(index, before, list, touched);
    return list;
  });
  return { lists, phase, set, readings, sheets, loops, made };
}

function runFamily(
  family: Family<SetBench>,
  bench: SetBench,
  ledger: FamilyLedger,
  index: number,
  loop: Loop<object, Figure> | undefined,
  touched: Touched,
): readonly Figure[] {
  if (loop === undefined) return [];
  switch (family.of) {
    case 'parts':
      return (loop as Loop<FittedPart, Figure>).run(bench.parts, touched, (part) =>
        ledger.during(index, () => family.make(bench, part)),
      );
    case 'valves':
      return (loop as Loop<ValveAt, Figure>).run(bench.valves, touched, (valve) =>
        ledger.during(index, () => family.make(bench, valve)),
      );
    case 'all':
      return loop.run(ALL, touched, () => ledger.during(index, () => family.make(bench)));
  }
}

const ALL: readonly object[] = [{}];

interface FamilyLedger extends Ledger {
  /** What is added meanwhile; what is looked up meanwhile are figures of families before it, and these. */
  readonly during: (index: number, work: () => void) => readonly Figure[];
  /** Puts what a family made in the place of what it made before, and notes the names of which something else is known now. */
  readonly replace: (
    index: number,
    before: readonly Figure[],
    list: readonly Figure[],
    touched: Set<string> | 'all',
  ) => void;
}

function createFamilyLedger(made: readonly Map<string, Figure>[]): FamilyLedger {
  let present = 0;
  let own = new Map<string, Figure>();
  const find = (subject: string, name: FigureName): Figure | undefined => {
    ask(subject);
    const key = keyOf(subject, name);
    const here = own.get(key);
    if (here !== undefined) return here;
    for (let index = present - 1; index >= 0; index--) {
      const there = made[index]?.get(key);
      if (there !== undefined) return there;
    }
    return undefined;
  };
  return {
    add: (figure) => {
      if (figure !== undefined) own.set(keyOf(figure.subject, figure.figure), figure);
      return figure;
    },
    find,
    all: () => [...own.values()],
    during: (index, work) => {
      present = index;
      if (own.size > 0) own = new Map();
      work();
      return own.size === 0 ? NONE : [...own.values()];
    },
    replace: (index, before, list, touched) => {
      const figures = made[index];
      if (figures === undefined) return;
      if (touched === 'all') {
        figures.clear();
        for (const figure of list) figures.set(keyOf(figure.subject, figure.figure), figure);
        return;
      }
      const { gone, come } = differenceOf(before, list);
      const still = new Set(come);
      const was = new Set(gone);
      const others = [...gone.filter((each) => !still.has(each)), ...come.filter((each) => !was.has(each))];
      for (const { subject, figure } of others) {
        touched.add(subject);
        // Of two that are the same figure the later one counts.
        const last = list.findLast((each) => each.subject === subject && each.figure === figure);
        if (last === undefined) figures.delete(keyOf(subject, figure));
        else figures.set(keyOf(subject, figure), last);
      }
    },
  };
}

const NONE: readonly Figure[] = [];

function keyOf(subject: string, name: FigureName): string {
  return `${name} ${subject}`;
}

/** Whether all that figures go by beside readings and sheets is the same. */
function isSameBeside(last: SetFigures, phase: PhaseBench, set: ReadingSet): boolean {
  const { phase: old } = last;
  return (
    last.set === set &&
    old.parts === phase.parts &&
    old.valves === phase.valves &&
    old.look === phase.look &&
    old.ohmicAt === phase.ohmicAt &&
    old.view.parts === phase.view.parts &&
    old.view.roles === phase.view.roles &&
    old.view.circuit === phase.view.circuit &&
    isSameList(old.view.nominals, phase.view.nominals) &&
    old.sense === phase.sense &&
    old.meter === phase.meter &&
    old.sheet.uri === phase.sheet.uri &&
    old.sheets.length === phase.sheets.length &&
    last.sheets.isSameIn(phase)
  );
}

/** The bench with its sheets under watch, and with whoever looks at all readings of the phase asking for them. */
function watchPhase(phase: PhaseBench, watch: Watch<PhaseBench>): PhaseBench {
  const { view } = phase;
  return {
    ...phase,
    sheet: watchSheet(phase.sheet, 'sheet', watch, (from) => from.sheet),
    sheets: phase.sheets.map((each: Sheet, i) =>
      watchSheet(each, `sheet ${i}`, watch, (from) => from.sheets[i]),
    ),
    view: {
      ...view,
      get readings() {
        ask(ANYTHING);
        return view.readings;
      },
      get verdictSet() {
        ask(ANYTHING);
        return view.verdictSet;
      },
    } as PhaseBench['view'],
  };
}
