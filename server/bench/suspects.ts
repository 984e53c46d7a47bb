/**
 * Owns the suspects of a phase: the single faults that would best explain what was read, ranked. Each is put into the circuit
 * as its parts are marked, the circuit is solved, and what it foretells is held against every reading of the set, with the
 * errors of parts, valves and meter. That nothing is wrong is one of the explanations.
 */
import { found, type Result, refused } from '../electronics/result.ts';
import { mainsFrequency, sheetsOf } from './derive/mains.ts';
import { type Errors, misfitBy } from './misfit.ts';
import type { Amplifier, BenchReading, PhaseView, Source } from './model.ts';
import { compareNames, isBiasNode } from './points.ts';
import { type Family, type Fault, type FaultKind, familiesOf, measuredFamilies } from './suspect-faults.ts';
import { errorsOf, foretellAll, missedBy, type Observation, observationsOf } from './suspect-readings.ts';
import { openTrials, type Trial, type TrialCircuit } from './trial-circuit.ts';

export interface Suspect {
  readonly subject: string;
  readonly kind: FaultKind;
  /** Ohms, farads, amperes, or a share: what `kind` has a size of. */
  readonly size?: number;
  /** How the explanations share what is possible, this one among all that were tried, 0 to 1. */
  readonly weight: number;
  /** It was measured by itself, and reads so. */
  readonly isMeasured: boolean;
  /** Readings that this fault leaves unexplained, the worst first. */
  readonly unexplained: readonly Observation[];
  /** Where its part was fitted, or the reading was written. */
  readonly source?: Source;
}

export interface Suspicion {
  readonly view: PhaseView;
  readonly set: number;
  /** How many readings could be foretold. */
  readonly readings: number;
  /** The same share for what is fitted as it is marked, with nothing wrong. */
  readonly healthy: number;
  /** Readings that do not fit what is fitted. */
  readonly unexplained: readonly Observation[];
  /** None where the readings fit what is fitted about as well. */
  readonly suspects: readonly Suspect[];
}

/** Fewer tell nothing. */
const LEAST_READINGS = 3;
/** What a fault must explain before it is worth more than none, in units of misfit; a slip in writing is rarer still. */
const PRICE = { part: 6, reading: 9 } as const;
/** The model knows the circuit less well than it says: misfits count this much less. */
const DOUBT = 2;
/** How many are told at most, and how small a share is not told. */
const MOST = 6;
const LEAST_WEIGHT = 0.02;
/** So many are sized more finely. */
const REFINED = 5;
const REFINEMENTS = 6;

interface Explanation {
  readonly fault: Fault;
  readonly row: readonly number[];
  readonly score: number;
}

/** The phases in which anything was read, each with its suspects or why there are none. */
export function suspicionsOf(
  amplifier: Amplifier,
): readonly { readonly view: PhaseView; readonly suspicion: Result<Suspicion> }[] {
  return amplifier.phases
    .filter(
      ({ phase, verdictSet }) =>
        verdictSet !== undefined && phase !== 'factory' && phase !== 'work' && phase !== 'noted',
    )
    .map((view) => ({ view, suspicion: findSuspects(view, amplifier) }));
}

export function findSuspects(view: PhaseView, amplifier: Amplifier): Result<Suspicion> {
  const set = view.verdictSet;
  if (set === undefined) return refused('nothing was read');
  const readings = view.readings.filter((reading) => reading.normal && reading.set.id === set.id);
  const circuit = openTrials(view, amplifier, readings);
  if (circuit === undefined)
    return refused('too little is written of the circuit, or no rail was read, to solve it');
  const mains = mainsFrequency(sheetsOf(amplifier))?.known.quantity.value;
  const healthy = circuit.solve({});
  if (healthy === undefined) return refused('the circuit as it is written does not settle');
  const told = [...observationsOf(circuit, readings, view, mains), ...biasesWanted(circuit, view, readings)];
  const observations = told.filter(({ foretell }) => foretell(healthy, undefined, healthy) !== undefined);
  if (observations.length < LEAST_READINGS)
    return refused(
      `only ${observations.length} of the readings can be foretold, and fewer than ${LEAST_READINGS} tell nothing`,
    );
  const errors = errorsOf(circuit, observations, healthy);
  const misfit = errors && misfitBy(errors);
  const base = foretellAll(observations, healthy, undefined, healthy);
  if (errors === undefined || misfit === undefined || base === undefined)
    return refused('the circuit as it is written does not settle');
  const scoreOf = (row: readonly number[]): number =>
    misfit(observations.map(({ read }, i) => read - (row[i] ?? 0))).total / DOUBT;

  const tried = (fault: Fault): Explanation | undefined => {
    const trial = isEmpty(fault) ? healthy : circuit.solve(fault.departure);
    const row = trial && foretellAll(observations, trial, fault, healthy);
    return row && { fault, row, score: scoreOf(row) + PRICE.part };
  };
  const families = familiesOf(circuit);
  const had = new Set(families.map(({ subject }) => subject));
  const besides = observations.flatMap(({ name, at, read }) => {
    const part = / measured$/.test(name) && !had.has(at) ? view.parts.get(at) : undefined;
    return part === undefined ? [] : measuredFamilies(part, read);
  });
  const explanations = [...families, ...besides]
    .flatMap((family) => bestOf(family, tried) ?? [])
    .sort(byScore);
  const refined = explanations.map(({ family, ...best }, i) =>
    i < REFINED ? refine(family, best, tried) : best,
  );
  const slips = observations.map((observation, i) => slipOf(observation, i, base, observations, errors));
  const all = [...refined, ...slips.flatMap((slip) => slip ?? [])].sort(byScore);
  const none = scoreOf(base);
  const least = Math.min(none, all[0]?.score ?? none);
  const share = (score: number): number => Math.exp((least - score) / 2);
  const sum = all.reduce((total, { score }) => total + share(score), share(none));
  const isHealthy = all[0] === undefined || none <= all[0].score;
  const suspects = isHealthy
    ? []
    : onePerSubject(all)
        .map(({ fault, row, score }): Suspect => {
          const source = sourceOf(fault, view, observations);
          return {
            subject: fault.subject,
            kind: fault.kind,
            ...(fault.size !== undefined && { size: fault.size }),
            weight: share(score) / sum,
            isMeasured:
              fault.kind !== 'reading' &&
              observations.some(({ name }) => name === `${fault.subject} measured`),
            unexplained: fault.kind === 'reading' ? [] : missedBy(observations, row, errors),
            ...(source && { source }),
          };
        })
        .filter(({ weight }) => weight >= LEAST_WEIGHT)
        .slice(0, MOST);
  return found({
    view,
    set: set.id,
    readings: observations.length,
    healthy: share(none) / sum,
    unexplained: missedBy(observations, base, errors),
    suspects,
  });
}

const byScore = (a: Explanation, b: Explanation): number =>
  a.score - b.score || compareNames(a.fault.subject, b.fault.subject);

function isEmpty({ departure }: Fault): boolean {
  return Object.keys(departure).length === 0;
}

/** The best size of a fault among those that its kind is tried at: from the middle on, in the direction that fits better. */
function bestOf(
  family: Family,
  tried: (fault: Fault) => Explanation | undefined,
): (Explanation & { readonly family: Family }) | undefined {
  const { sizes } = family;
  const at = (index: number): Explanation | undefined => {
    const size = sizes[index];
    return size === undefined ? undefined : tried(family.at(size));
  };
  const middle = Math.floor((sizes.length - 1) / 2);
  const scoreAt = (each: Explanation | undefined): number => each?.score ?? Number.POSITIVE_INFINITY;
  let best = at(middle);
  const [up, down] = [at(middle + 1), at(middle - 1)];
  const step = scoreAt(up) < scoreAt(down) ? 1 : -1;
  let next = step === 1 ? up : down;
  for (let index = middle + step; scoreAt(next) < scoreAt(best); index += step) {
    best = next;
    next = at(index + step);
  }
  return best && { ...best, family };
}

/** Sizes between the neighbours of the best, halving the way each time. */
function refine(
  family: Family,
  best: Explanation,
  tried: (fault: Fault) => Explanation | undefined,
): Explanation {
  const { sizes } = family;
  const at = sizes.findIndex((size) => family.at(size).size === best.fault.size);
  const size = sizes[at];
  if (sizes.length < 2 || size === undefined || !(size > 0)) return best;
  const next = sizes[at + 1] ?? size * 2;
  const last = sizes[at - 1] ?? size / 2;
  let step = Math.sqrt(Math.max(next / size, size / Math.max(last, size / 10)));
  let known = { size, best };
  for (let i = 0; i < REFINEMENTS; i++) {
    for (const other of [known.size * step, known.size / step]) {
      const each = tried(family.at(other));
      if (each !== undefined && each.score < known.best.score) known = { size: other, best: each };
    }
    step = Math.sqrt(step);
  }
  return known.best;
}

/** That one reading is not what stood there: everything else must then fit. */
function slipOf(
  observation: Observation,
  index: number,
  base: readonly number[],
  observations: readonly Observation[],
  errors: Errors,
): Explanation | undefined {
  const own = errors.own.map((each, i) => (i === index ? 1e6 : each));
  const misfit = misfitBy({ ...errors, own });
  if (misfit === undefined) return undefined;
  const { total } = misfit(observations.map(({ read }, i) => read - (base[i] ?? 0)));
  const fault: Fault = { kind: 'reading', subject: observation.name, departure: {} };
  return { fault, row: base, score: total / DOUBT + PRICE.reading };
}

/** A part has one fault: the best of its kinds stands for it. */
function onePerSubject(explanations: readonly Explanation[]): readonly Explanation[] {
  const best = new Map<string, Explanation>();
  for (const each of explanations) if (!best.has(each.fault.subject)) best.set(each.fault.subject, each);
  return [...best.values()];
}

function sourceOf(
  { subject, kind }: Fault,
  view: PhaseView,
  observations: readonly Observation[],
): Source | undefined {
  if (kind === 'reading') return observations.find(({ name }) => name === subject)?.source;
  return view.parts.get(subject)?.source ?? observations.find(({ at }) => at === subject)?.source;
}

/** Less than this share of what is wanted is none. */
const LEAST_BIAS = 0.01;

/** What a bias is wanted at, by the chassis sheet, else by the typical point of an output valve. */
function biasesWanted(
  { pieces, held }: TrialCircuit,
  view: PhaseView,
  readings: readonly BenchReading[],
): readonly Observation[] {
  return [...held].flatMap(([node, read]): readonly Observation[] => {
    if (!isBiasNode(node)) return [];
    const source = readings.findLast((reading) => reading.node === node)?.source;
    const nominal = view.nominals.findLast((each) => each.node === node && each.quantity === 'voltage');
    const typical = pieces
      .flatMap(({ valves }) => valves.flatMap(({ screen, part }) => (screen === undefined ? [] : part)))
      .flatMap(({ type }) => type?.valve?.typical ?? [])
      .reduce<number | undefined>(
        (most, { grid }) => (grid !== undefined && grid < (most ?? 0) ? grid : most),
        undefined,
      );
    const wanted = nominal?.value.quantity.value ?? typical;
    if (source === undefined || wanted === undefined || !(wanted < 0)) return [];
    return [
      {
        name: node,
        at: node,
        read: Math.log(Math.max(LEAST_BIAS, read / wanted)),
        error: nominal === undefined ? 0.45 : 0.15,
        said: `${Number(read.toPrecision(3))} V at ${node}`,
        source,
        foretell: (_: Trial, fault: Fault | undefined) =>
          fault?.kind === 'bias-lost' && fault.subject === node
            ? Math.log(Math.max(LEAST_BIAS, fault.size ?? 0))
            : 0,
      },
    ];
  });
}
