/**
 * Owns what is soldered in as time goes on: statements applied phase by phase, each part's latest specification and the
 * connections that were said of it. It knows no nodes and computes nothing.
 */

import type { Ref, Specification, Work } from '../dialect/tree.ts';
import type { ChangeStatement, FittedStatement, Phase, Statement } from '../sheet/model.ts';
import { groupBy } from '../text/grouping.ts';
import type { Span } from '../text/span.ts';
import type { RepeatedDeclaration, Source } from './model.ts';
import type { InForce } from './renumbering.ts';
import { connectionsOf, type SaidConnection, sectionsOfCan } from './said-connections.ts';
import { contradict, differ, mergeSpecifications, saysWhat } from './specifications.ts';

/** Whether the very same is fitted everywhere. */
function isFittedAlike(one: FittedPhase['fittings'], other: FittedPhase['fittings']): boolean {
  if (one === other) return true;
  if (one.size !== other.size) return false;
  for (const [ref, fitting] of one) if (other.get(ref) !== fitting) return false;
  return true;
}

/** A part as far as it has been said. */
export interface Fitting {
  readonly ref: Ref;
  readonly specification?: Specification;
  readonly specificationSource?: Source;
  readonly connections: readonly SaidConnection[];
  readonly source: Source;
  readonly since: Phase;
  /** Counts up with every replacement of the part, so that measurements of the old one are told from those of the new. */
  readonly generation: number;
}

/** A change with what was there before and after it. */
export interface FittingChange {
  readonly ref: string;
  readonly was?: Fitting;
  readonly is?: Fitting;
  readonly work?: Work;
  readonly planned: boolean;
  readonly source: Source;
}

/** The parts of one phase, at its end. */
export interface FittedPhase {
  readonly phase: Phase;
  readonly fittings: ReadonlyMap<string, Fitting>;
  readonly wires: readonly Extract<Statement, { kind: 'wire' }>[];
}

export interface FittingHistory {
  readonly phases: readonly FittedPhase[];
  readonly changes: readonly FittingChange[];
  /** What was fitted at the end of each chassis sheet, oldest first. */
  readonly revisions: readonly ReadonlyMap<string, Fitting>[];
  readonly repeats: readonly RepeatedDeclaration[];
  /** Every time that a part was replaced, in order. */
  readonly replacements: readonly Replacement[];
  /** How often a part had been replaced before a place in the job sheet; for measurements taken during the work. */
  readonly generationAt: (ref: string, phase: Phase, at: Span) => number;
}

/** Phases in order of time. */
export const PHASE_ORDER: readonly Phase[] = ['factory', 'as-found', 'work', 'as-left', 'noted'];

/** The phase that a job's statement is of: a job sheet has no factory of its own. */
export function phaseOf({ phase }: Statement): Phase {
  return phase === 'factory' ? 'as-found' : phase;
}

/** Where nothing was fitted yet. */
const NOTHING_FITTED: FittingHistory = {
  phases: [],
  changes: [],
  revisions: [],
  repeats: [],
  replacements: [],
  generationAt: () => 0,
};

/** Applies the chassis sheets, oldest first: all jobs on them go on from there. */
export function followChassis(sheets: readonly InForce[]): FittingHistory {
  return follow(NOTHING_FITTED, sheets, undefined);
}

/** Applies a job, phase by phase, to what its chassis sheets fitted. */
export function followJob(under: FittingHistory, job: InForce): FittingHistory {
  return follow(under, [], job);
}

function follow(
  under: FittingHistory,
  chassis: readonly InForce[],
  job: InForce | undefined,
): FittingHistory {
  const phases = [...under.phases];
  let last: Omit<FittedPhase, 'phase'> | undefined = phases.at(-1);
  const fittings = new Map(last?.fittings);
  const wires = [...(last?.wires ?? [])];
  const changes = [...under.changes];
  const revisions = [...under.revisions];
  const repeats = [...under.repeats];
  const replacements = [...under.replacements];

  /** What stands now: the very same as last time where nothing was fitted or tied since. */
  const snapshot = (): Omit<FittedPhase, 'phase'> => {
    if (last?.wires.length !== wires.length || !isFittedAlike(last.fittings, fittings))
      last = { fittings: new Map(fittings), wires: [...wires] };
    return last;
  };
  const close = (phase: Phase): void => {
    const { fittings: standing, wires: tied } = snapshot();
    phases.push({ phase, fittings: standing, wires: tied });
  };

  for (const [i, sheet] of chassis.entries()) {
    applyChassis(sheet, i - chassis.length);
    revisions.push(snapshot().fittings);
  }
  if (chassis.length > 0) close('factory');
  if (job !== undefined) applyJob(job);

  return {
    phases,
    changes,
    revisions,
    repeats,
    replacements,
    generationAt: (ref, phase, { start }) => {
      const when = PHASE_ORDER.indexOf(phase);
      return lastGeneration(
        ref,
        (each) => each.phase < when || (each.phase === when && each.at.start <= start),
      );
    },
  };

  function applyChassis(sheet: InForce, when: number): void {
    const step = new Map<string, Said>();
    for (const statement of sheet.statements) {
      if (statement.planned) continue;
      if (statement.kind === 'fitted') applyFitted(statement, 'factory', when, sheet, step);
      else if (statement.kind === 'change') applyChange(statement, 'factory', when, sheet, false);
      else if (statement.kind === 'wire') wires.push(statement);
    }
  }

  function applyJob(sheet: InForce): void {
    const byPhase = groupBy(sheet.statements, phaseOf);
    let deferred: readonly ChangeStatement[] = [];
    for (const [when, phase] of PHASE_ORDER.entries()) {
      if (phase === 'factory') continue;
      const isNamed = byPhase.has(phase) || deferred.length > 0;
      for (const each of deferred) applyChange(each, phase, when, sheet, true);
      deferred = followPhase(byPhase.get(phase) ?? [], phase, when, sheet);
      if (phase === 'as-found') learnWhatWas(sheet, when);
      if (phase === 'as-found' || isNamed) close(phase);
    }
  }

  /** Answers with the changes that are left for the next phase: one written among the findings was made after them. */
  function followPhase(
    statements: readonly Statement[],
    phase: Phase,
    when: number,
    sheet: InForce,
  ): readonly ChangeStatement[] {
    const step = new Map<string, Said>();
    const deferred: ChangeStatement[] = [];
    for (const statement of statements) {
      if (statement.kind === 'wire' && !statement.planned) wires.push(statement);
      else if (statement.kind === 'fitted') {
        if (statement.planned) plan(statement, sheet);
        else applyFitted(statement, phase, when, sheet, step);
      } else if (statement.kind === 'change') {
        if (statement.planned) plan(statement, sheet);
        else if (phase === 'as-found') deferred.push(statement);
        else applyChange(statement, phase, when, sheet, true);
      }
    }
    return deferred;
  }

  /** `=`: what is fitted from this phase on. Lines of one phase add to each other; a phase overrides what came before. */
  function applyFitted(
    said: FittedStatement,
    phase: Phase,
    when: number,
    sheet: InForce,
    step: Map<string, Said>,
  ): void {
    for (const each of sectionsOfCan(said, said.specification))
      applyOneFitted(each, phase, when, sheet, step);
  }

  function applyOneFitted(
    said: FittedStatement,
    phase: Phase,
    when: number,
    sheet: InForce,
    step: Map<string, Said>,
  ): void {
    const { ref, specification } = said;
    const before = fittings.get(ref.name);
    let here = step.get(ref.name);
    if (here === undefined) {
      here = { specification: undefined, source: undefined, connected: false };
      step.set(ref.name, here);
    }
    // Nothing is said but that it is there.
    if (before !== undefined && specification === undefined && said.connections.length === 0) return;
    const source = { file: sheet.uri, span: said.span };
    let isChange = false;
    const next: Draft = {
      ref: before?.ref ?? ref,
      specification: before?.specification,
      specificationSource: before?.specificationSource,
      connections: before?.connections ?? NONE,
      source: before?.source ?? source,
      since: before?.since ?? phase,
      generation: before?.generation ?? lastGeneration(ref.name),
    };
    if (specification !== undefined) {
      if (here.specification === undefined) {
        const differs =
          before?.specification !== undefined && contradict(before.specification, specification);
        // `R1 47R: open` of a part that is 47 Ω 5 W says again which it is.
        const isTheSame = said.isBesideReading === true && !differs;
        const adds = before?.specification !== undefined && (isTheSame || !saysWhat(specification));
        const whole =
          adds && before?.specification
            ? mergeSpecifications(before.specification, specification)
            : specification;
        next.specification = whole;
        next.specificationSource = source;
        next.source = source;
        next.since = phase;
        here.specification = specification;
        here.source = source;
        // In the work `=` is a change from whatever was; as left it is one if it differs.
        isChange =
          (phase === 'work' && !(isTheSame && before !== undefined)) || (phase === 'as-left' && differs);
        if (isChange && !adds) next.generation = replace(ref.name, next.generation, when, said.span);
      } else {
        if (contradict(here.specification, specification) && here.source !== undefined) {
          repeats.push({ ref: ref.name, phase, first: here.source, second: source });
        }
        const whole = mergeSpecifications(here.specification, specification);
        next.specification = whole;
        next.specificationSource = source;
        here.specification = whole;
      }
    }
    if (said.connections.length > 0) {
      const own = connectionsOf(said, when, sheet);
      next.connections = here.connected ? [...next.connections, ...own] : own;
      if (before === undefined || specification !== undefined) next.source = here.source ?? source;
      here.connected = true;
    }
    fittings.set(ref.name, next);
    if (isChange) {
      changes.push({ ref: ref.name, was: before, is: next, work: undefined, planned: false, source });
    }
  }

  /** `->`: connections carry over unless restated; value, ratings, kind and date never do. */
  function applyChange(
    said: ChangeStatement,
    phase: Phase,
    when: number,
    sheet: InForce,
    records: boolean,
  ): void {
    for (const each of sectionsOfCan(said, said.is)) applyOneChange(each, phase, when, sheet, records);
  }

  function applyOneChange(
    said: ChangeStatement,
    phase: Phase,
    when: number,
    sheet: InForce,
    records: boolean,
  ): void {
    const { ref, work } = said;
    const source = { file: sheet.uri, span: said.span };
    const was =
      fittings.get(ref.name) ??
      (said.was && asWritten(said, said.was, phase, when, sheet, lastGeneration(ref.name))) ??
      wholeCan(ref);
    let is: Fitting | undefined = was;
    if (said.is !== undefined) {
      const connections =
        said.connections.length > 0 ? connectionsOf(said, when, sheet) : (was?.connections ?? []);
      const generation = was?.generation ?? lastGeneration(ref.name);
      is = {
        ref,
        specification: said.is,
        specificationSource: source,
        connections,
        source,
        since: phase,
        generation: replace(ref.name, generation, when, said.span),
      };
    } else if (work === 'removed') {
      is = undefined;
    } else if (was !== undefined && said.connections.length > 0) {
      is = { ...was, connections: connectionsOf(said, when, sheet) };
    }
    if (is === undefined) {
      fittings.delete(ref.name);
      // The sections of a can or a valve go with it.
      if (ref.section === undefined) removeSections(ref);
    } else {
      // One capacitor in the place of a can: its sections are gone.
      if (said.is !== undefined && ref.class === 'capacitor' && ref.section === undefined)
        removeSections(ref);
      fittings.set(ref.name, is);
    }
    if (records) {
      changes.push({ ref: ref.name, was, is, work, planned: false, source });
    }
  }

  /** A can that is changed or taken out as a whole: its sections were said in one line, with all their values. */
  function wholeCan(ref: Ref): Fitting | undefined {
    if (ref.class !== 'capacitor' || ref.section !== undefined) return undefined;
    const [first, ...others] = [...fittings.values()].filter((each) => each.ref.whole === ref.name);
    if (first === undefined || others.length === 0) return undefined;
    return others.every(({ specification }) => specification === first.specification)
      ? { ...first, ref }
      : undefined;
  }

  function removeSections({ name }: Ref): void {
    for (const each of [...fittings.values()]) if (each.ref.whole === name) fittings.delete(each.ref.name);
  }

  /** Answers with the generation of what is fitted now. */
  function replace(ref: string, before: number, phase: number, at: Span): number {
    const generation = before + 1;
    replacements.push({ ref, phase, at, generation });
    return generation;
  }

  /** Of a part that a chassis sheet has replaced or taken out, what is found there is the last that was fitted. */
  function lastGeneration(ref: string, counts: (each: Replacement) => boolean = () => true): number {
    return replacements.reduce(
      (last, each) => (each.ref === ref && counts(each) ? Math.max(last, each.generation) : last),
      0,
    );
  }

  function plan(said: FittedStatement | ChangeStatement, sheet: InForce): void {
    const { ref } = said;
    const source = { file: sheet.uri, span: said.span };
    const was = fittings.get(ref.name);
    const specification = said.kind === 'fitted' ? said.specification : said.is;
    const is: Fitting | undefined = specification && {
      ref,
      specification,
      specificationSource: source,
      connections: was?.connections ?? [],
      source,
      since: said.phase,
      generation: (was?.generation ?? 0) + 1,
    };
    const work = said.kind === 'change' ? said.work : undefined;
    changes.push({ ref: ref.name, was, is, work, planned: true, source });
  }

  /** What a change says was there is what was found; so is where it sits, if nobody said otherwise. */
  function learnWhatWas(sheet: InForce, when: number): void {
    const seen = new Set<string>();
    for (const said of sheet.statements) {
      if (said.kind !== 'change' || said.planned || seen.has(said.ref.name)) continue;
      seen.add(said.ref.name);
      const known = fittings.get(said.ref.name);
      if (said.was !== undefined && (known === undefined || known.since === 'factory')) {
        const written = asWritten(said, said.was, 'as-found', when, sheet, lastGeneration(said.ref.name));
        const connections =
          known !== undefined && known.connections.length > 0 ? known.connections : written.connections;
        fittings.set(said.ref.name, { ...written, connections });
      } else if (known !== undefined && known.connections.length === 0 && said.connections.length > 0) {
        fittings.set(said.ref.name, { ...known, connections: connectionsOf(said, when, sheet) });
      }
    }
  }
}

interface Replacement {
  readonly ref: string;
  readonly phase: number;
  readonly at: Span;
  readonly generation: number;
}

/** What has been said of a part in the present phase. */
interface Said {
  specification: Specification | undefined;
  source: Source | undefined;
  connected: boolean;
}

/** A fitting while its line is read. */
type Draft = { -readonly [K in keyof Fitting]: Fitting[K] };

const NONE: readonly never[] = [];

function asWritten(
  said: ChangeStatement,
  was: Specification,
  since: Phase,
  when: number,
  sheet: InForce,
  generation: number,
): Fitting {
  const source = { file: sheet.uri, span: said.span };
  return {
    ref: said.ref,
    specification: was,
    specificationSource: source,
    connections: connectionsOf(said, when, sheet),
    source,
    since,
    generation,
  };
}

/** Whether two revisions fit different things there: another value, type or winding, or none. */
export function isFittedOtherwise(one: Fitting | undefined, other: Fitting | undefined): boolean {
  const [first, second] = [one?.specification, other?.specification];
  if (first === second) return (one === undefined) !== (other === undefined);
  return first === undefined || second === undefined || differ(first, second);
}
