/**
 * Owns the making of an Amplifier from sheets: the chassis sheet and the job put together phase by phase, and what the job says
 * of changes, of states and of what was seen.
 */
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Ohms } from '../units/si.ts';
import { type Fitting, type FittingHistory, followChassis, followJob, phaseOf } from './fitting.ts';
import { type Resolved, type Sources, takeOver } from './kept-amplifiers.ts';
import type { Amplifier, FittedPart, PartChange, PartState, PhaseView, Seen } from './model.ts';
import { partFrom } from './parts.ts';
import { type LaidOut, type Laying, layOut, viewOf } from './phase-views.ts';
import { valveInputs } from './placed-parts.ts';
import { nameOfPoint } from './points.ts';
import { type InForce, inLastNames, isRenumbering, statementsInForce } from './renumbering.ts';
import { partsSeen, phasesNamed, statementsThatFit, statesWritten, valveTalk } from './sorted-statements.ts';
import type { Steps } from './steps.ts';
import { type SectionConvention, speaksOfValves, talkOfValves, typeFrom } from './valves.ts';

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
  const { follows = [], shopSheet, sense, meter, sections } = options;
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
    ...takeOver(from, [catalogue, sense, meter, sections], (watched, steps, shared) =>
      resolve(watched, catalogue, options, steps, shared),
    ),
  };
}

/** `shared` takes over what follows from the chassis sheets alone, for every job on them. */
function resolve(
  { job, chassis, follows, shopSheet }: Sources,
  catalogue: Catalogue,
  { sense, meter, sections }: Pick<ResolveOptions, 'sense' | 'meter' | 'sections'>,
  steps: Steps,
  shared: Steps,
): Resolved {
  const isChassis = job.kind === 'chassis';
  const under = [...follows, ...(isChassis ? [job] : chassis ? [chassis] : [])];
  const underInForce =
    !isChassis && isRenumbering(job)
      ? inLastNames([...under, job]).slice(0, under.length)
      : shared('in force', under, () => inLastNames(under));
  const own = isChassis ? undefined : { uri: job.uri, sheet: job, statements: statementsInForce(job) };
  const inForce = own === undefined ? underInForce : [...underInForce, own];
  const last = inForce.at(-1) ?? { uri: job.uri, sheet: job, statements: [] };
  const foundation = steps(
    'fittings under',
    () => underInForce.flatMap((each) => [each.uri, statementsThatFit(each)]),
    () => shared('fittings under', underInForce, () => followChassis(underInForce)),
  );
  const history =
    own === undefined
      ? foundation
      : steps(
          'fittings',
          () => [foundation, phasesNamed(own), own.uri, statementsThatFit(own)],
          () => followJob(foundation, own),
        );
  const talk = steps(
    'talk of valves',
    () => inForce.map(valveTalk),
    () => {
      const ofChassis = shared('talk of valves', underInForce, () =>
        underInForce.flatMap(({ statements }) => statements.filter(speaksOfValves)),
      );
      return talkOfValves([...ofChassis, ...(own?.statements ?? []).filter(speaksOfValves)]);
    },
  );

  const laying: Laying = {
    history,
    chassis: underInForce,
    last,
    under: [...[...under].reverse(), ...(shopSheet === undefined ? [] : [shopSheet])],
    talk,
    catalogue,
    sections,
    sense,
    meter,
    steps,
  };
  const phases: PhaseView[] = [];
  let before: LaidOut | undefined;
  for (const fitted of history.phases) {
    const laidOut: LaidOut =
      fitted.phase === 'factory'
        ? shared(
            'factory',
            () => [foundation, ...valveInputs(laying), sense, meter, shopSheet],
            () => layOut(fitted, undefined, laying),
          )
        : layOut(fitted, before, laying);
    phases.push(viewOf(laidOut));
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
