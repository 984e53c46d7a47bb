/**
 * Owns what suspects are held against: every reading of one set that a trial of the circuit can foretell, in one row of
 * numbers, with the errors that parts, valves and meter may bring into them.
 */
import type { ValveModel } from '../electronics/models/model.ts';
import { endsOf } from './look.ts';
import { type Errors, spreadOf } from './misfit.ts';
import type { BenchReading, FittedPart, PhaseView, Source } from './model.ts';
import { isReadInCircuit, OPEN_OHMS } from './model.ts';
import { amplificationError, standingOf } from './model-reach.ts';
import type { Fault } from './suspect-faults.ts';
import type { Departure, Trial, TrialCircuit } from './trial-circuit.ts';

/** One number that was read, and what a trial makes of it. */
export interface Observation {
  /** `V4.g`, `R4 measured`. */
  readonly name: string;
  /** The places that it tells of, for whoever says that a reading is wrong. */
  readonly at: string;
  readonly read: number;
  /** What the meter may be off by, one standard deviation. */
  readonly error: number;
  /** In words, as read. */
  readonly said: string;
  readonly source: Source;
  /** Undefined where the trial does not tell it. */
  readonly foretell: (trial: Trial, fault: Fault | undefined, healthy: Trial) => number | undefined;
}

/** A digital meter is within this of what it shows, and a trial within this of what an average circuit does. */
const METER = 0.01;
const LEAST_VOLTS = 0.0003;
/** A grid behind a large resistor reads up to a tenth low, and stands a little off by itself [V]. */
const GRID = 0.06;
const LEAST_GRID = 0.05;
/** Ohmmeter and capacitance meter, with the bench's leads. */
const OHMMETER = Math.log(1.05);
const CAPACITANCE_METER = Math.log(1.12);
/** A valve may pass so much more or less than an average one [ln]; its screen twice as much more or less. */
const VALVE = 0.14;
const SCREEN = 0.3;
/** Supply rails are read to this. */
const RAIL = 0.007;

export function observationsOf(
  { nodes, view }: TrialCircuit,
  readings: readonly BenchReading[],
  written: PhaseView,
  mains: number | undefined,
): readonly Observation[] {
  const found = new Map<string, Observation>();
  for (const reading of readings) {
    const one = voltsRead(reading, nodes) ?? acrossRead(reading, view, nodes) ?? currentRead(reading, view);
    if (one !== undefined) found.set(one.name, one);
  }
  for (const reading of written.readings) {
    const one = lifted(reading, nodes);
    if (one !== undefined) found.set(one.name, one);
  }
  for (const part of written.parts.values()) {
    const one = partRead(part) ?? undefined;
    if (one !== undefined) found.set(one.name, one);
  }
  for (const one of capacitorsByRipple(written))
    if (!found.has(`${one.at} measured`)) found.set(one.name, one);
  for (const one of isFullWave(view) ? ripplesBeat(readings, view, mains) : []) found.set(one.name, one);
  return [...found.values()];
}

/** A rectifier valve has two anodes; of diodes it takes two. */
export function isFullWave({ parts }: PhaseView): boolean {
  const rectifiers = [...parts.values()].filter(
    (part) => part.type?.valve?.kind === 'rectifier' || part.class === 'diode',
  );
  return rectifiers.some((part) => part.class === 'valve') || rectifiers.length > 1;
}

function voltsRead(reading: BenchReading, nodes: ReadonlySet<string>): Observation | undefined {
  const { quantity: of, node, toNode, wave, value, uncertainty, at, to, source } = reading;
  if (of !== 'voltage' || wave !== undefined || node === undefined) return undefined;
  if (to !== undefined && toNode === undefined) return undefined;
  const isTold = nodes.has(node) || (toNode !== undefined && nodes.has(toNode));
  if (!isTold) return undefined;
  const read = value.quantity.value;
  const isGrid = /\.g$/.test(at);
  const isSigned = toNode === undefined;
  const error = Math.hypot(
    isGrid ? LEAST_GRID : LEAST_VOLTS,
    uncertainty,
    (isGrid ? GRID : METER) * Math.abs(read),
  );
  const common = { at, said: `${number(read)} V at ${to === undefined ? at : `${at} to ${to}`}`, source };
  // At a cathode volts are current: what may be off there is a share of it, and nothing is far from a little.
  if (/\.k$/.test(at) && isSigned && read >= 0) {
    const floor = Math.max(LEAST_VOLTS, uncertainty);
    const shareOf = (value: number): number => Math.log(Math.max(value, floor));
    return {
      ...common,
      name: at,
      read: shareOf(read),
      error: Math.log1p(error / Math.max(read, floor)),
      foretell: (trial) => {
        const value = trial.volts(node);
        return value === undefined ? undefined : shareOf(value);
      },
    };
  }
  return {
    ...common,
    name: to === undefined ? at : `${at} to ${to}`,
    read: isSigned ? read : Math.abs(read),
    error,
    foretell: (trial) => {
      const one = trial.volts(node);
      const other = toNode === undefined ? 0 : trial.volts(toNode);
      if (one === undefined || other === undefined) return undefined;
      return isSigned ? one - other : Math.abs(one - other);
    },
  };
}

/** Volts read on a part, between whatever its two ends are. */
function acrossRead(
  { quantity: of, at, node, to, wave, value, uncertainty, source }: BenchReading,
  { parts }: PhaseView,
  nodes: ReadonlySet<string>,
): Observation | undefined {
  const part = parts.get(at);
  const ends = part && endsOf(part);
  if (of !== 'voltage' || wave !== undefined || node !== undefined || to !== undefined) return undefined;
  if (ends === undefined || !ends.some((end) => nodes.has(end))) return undefined;
  const read = Math.abs(value.quantity.value);
  return {
    name: at,
    at,
    read,
    error: Math.hypot(LEAST_VOLTS, uncertainty, METER * read),
    said: `${number(read)} V over ${at}`,
    source,
    foretell: (trial) => {
      const [one, other] = ends.map(trial.volts);
      return one === undefined || other === undefined ? undefined : Math.abs(one - other);
    },
  };
}

function currentRead(reading: BenchReading, { parts }: PhaseView): Observation | undefined {
  const { quantity: of, at, value, uncertainty, source, to } = reading;
  if (of !== 'current' || to !== undefined || parts.get(at)?.class !== 'valve') return undefined;
  const read = value.quantity.value;
  return {
    name: `${at} current`,
    at,
    read,
    error: Math.hypot(uncertainty, 2 * METER * Math.abs(read), 1e-5),
    said: `${number(read * 1000)} mA through ${at}`,
    source,
    foretell: (trial) => trial.cathodeCurrent(at),
  };
}

/** `C14 lifted: V5.g: 0 V`, `V5 out: V5.g: 0 V`: a grid as it stands without what may pull it. */
function lifted(reading: BenchReading, nodes: ReadonlySet<string>): Observation | undefined {
  const { quantity: of, node, toNode, value, uncertainty, at, source, set, conditions } = reading;
  if (of !== 'voltage' || node === undefined || toNode !== undefined || !nodes.has(node)) return undefined;
  if (!/\.g$/.test(at)) return undefined;
  const gone = [...set.conditions, ...conditions].find(({ kind }) => kind === 'lifted' || kind === 'out');
  const [ref] = gone?.refs ?? [];
  if (gone === undefined || ref === undefined) return undefined;
  const read = value.quantity.value;
  return {
    name: `${at}, ${gone.words}`,
    at,
    read,
    error: Math.hypot(LEAST_GRID, uncertainty, GRID * Math.abs(read)),
    said: `${number(read)} V at ${at} with ${gone.words}`,
    source,
    foretell: (trial, fault, healthy) => (fault?.subject === ref.name ? healthy : trial).volts(node),
  };
}

/** A part measured by itself against its marking, in natural logarithms. */
function partRead(part: FittedPart): Observation | undefined {
  const isCoil = part.class === 'inductor';
  const marked = (isCoil ? part.resistance : part.value)?.quantity;
  const wanted = part.class === 'capacitor' ? 'capacitance' : 'resistance';
  if (part.class !== 'capacitor' && part.class !== 'resistor' && !isCoil) return undefined;
  const reading = part.measured.findLast(({ quantity: of }) => of === wanted);
  if (reading === undefined || marked === undefined || !(marked.value > 0)) return undefined;
  const value = reading.special === 'open' ? OPEN_OHMS : Math.max(reading.value.quantity.value, 1e-15);
  // In circuit, low says nothing: something is parallel to it.
  if (isReadInCircuit(reading) && value < marked.value) return undefined;
  const meter = wanted === 'capacitance' ? CAPACITANCE_METER : OHMMETER;
  return {
    name: `${part.ref} measured`,
    at: part.ref,
    read: Math.log(value / marked.value),
    error: Math.hypot(meter, part.tolerance / 2),
    said: reading.special === 'open' ? `${part.ref} measured open` : `${part.ref} as it was measured`,
    source: reading.source,
    foretell: (_, fault) => (fault?.subject === part.ref ? (fault.ofValue ?? 0) : 0),
  };
}

/** What a smoothing capacitor or reservoir is worth by the ripple on it. */
function capacitorsByRipple({ figures, parts, verdictSet }: PhaseView): readonly Observation[] {
  return figures.flatMap((figure): readonly Observation[] => {
    if (figure.figure !== 'effective-capacitance' || figure.set !== verdictSet?.id) return [];
    const marked = parts.get(figure.subject)?.value?.quantity;
    const { quantity: worth, low = worth.value, high = worth.value } = figure;
    if (marked?.unit !== 'F' || !(worth.value > 0) || !(marked.value > 0)) return [];
    const band = low > 0 && high > low ? Math.log(high / low) / 2 : 0;
    return [
      {
        name: `${figure.subject} by its ripple`,
        at: figure.subject,
        read: Math.log(worth.value / marked.value),
        error: Math.max(0.35, band),
        said: `the ripple on ${figure.subject}`,
        source: figure.source,
        foretell: (_, fault) => {
          // With one half gone the ripple is about twice as much, and the capacitor seems half of what it is.
          if (fault?.kind === 'half-dead') return HALF_WORTH;
          return fault?.subject === figure.subject ? (fault.ofValue ?? 0) : 0;
        },
      },
    ];
  });
}

/** What a reservoir seems to be worth where one half of the rectifier gives nothing, over what it is [ln]. */
const HALF_WORTH = Math.log(0.45);

/** At how many times the mains' frequency the ripple on a reservoir was read, where both halves should rectify [ln]. */
function ripplesBeat(
  readings: readonly BenchReading[],
  { roles }: PhaseView,
  mains: number | undefined,
): readonly Observation[] {
  const halves = [...roles.values()].filter(({ role }) => role === 'rectifier');
  if (mains === undefined || halves.length === 0) return [];
  return readings.flatMap(({ quantity: of, at, frequency, source }): readonly Observation[] => {
    if (of !== 'ripple' || frequency === undefined || !(frequency.value > 0)) return [];
    return [
      {
        name: `${at} ripple frequency`,
        at,
        read: Math.log(frequency.value / (2 * mains)),
        error: 0.1,
        said: `ripple of ${number(frequency.value)} Hz at ${at}`,
        source,
        foretell: (_, fault) => (fault?.kind === 'half-dead' ? -Math.LN2 : 0),
      },
    ];
  });
}

/** The row of numbers that a trial foretells; undefined where it leaves one out. */
export function foretellAll(
  observations: readonly Observation[],
  trial: Trial,
  fault: Fault | undefined,
  healthy: Trial,
): readonly number[] | undefined {
  const row = observations.map(({ foretell }) => foretell(trial, fault, healthy));
  return row.every((each): each is number => each !== undefined && Number.isFinite(each)) ? row : undefined;
}

/** How far tolerances of parts, the spread of valves and the readings of the rails move each number. */
export function errorsOf(
  circuit: TrialCircuit,
  observations: readonly Observation[],
  healthy: Trial,
): Errors | undefined {
  const base = foretellAll(observations, healthy, undefined, healthy);
  if (base === undefined) return undefined;
  const shared: (readonly number[])[] = [];
  const moved = (departure: Departure): void => {
    const trial = circuit.solve(departure);
    const row = trial && foretellAll(observations, trial, undefined, healthy);
    const by = row?.map((each, i) => each - (base[i] ?? 0));
    if (by?.some((each) => each !== 0)) shared.push(by);
  };
  for (const { valves, conductors } of circuit.pieces) {
    for (const { ref, screen } of valves) {
      moved({ shares: new Map([[ref, Math.exp(VALVE)]]) });
      if (screen !== undefined) moved({ screens: new Map([[ref, Math.exp(SCREEN)]]) });
    }
    for (const { name, ref, resistance } of conductors) {
      const { value } = resistance.quantity;
      const part = circuit.view.parts.get(ref);
      const band =
        resistance.low !== undefined && resistance.high !== undefined
          ? (resistance.high - resistance.low) / 4 / value
          : 0;
      const tolerance = Math.max(band, (part?.class === 'resistor' ? part.tolerance : 0.1) / 2);
      moved({ ohms: new Map([[name, value * (1 + tolerance)]]) });
    }
  }
  // What a model does not know of its type goes for all valves of it alike.
  for (const [factors, error] of modelsOff(circuit, healthy))
    moved({ factors: new Map(factors.map((ref) => [ref, 1 + error])) });
  moved({ sources: 1 + RAIL });
  return { shared, own: observations.map(({ error }) => error) };
}

/** Valves of one type that stand far from what its model was held against, and how far off its amplification may be there. */
function modelsOff(
  { pieces }: TrialCircuit,
  healthy: Trial,
): readonly (readonly [valves: readonly string[], error: number])[] {
  const byModel = new Map<ValveModel, { readonly refs: string[]; error: number }>();
  for (const valve of pieces.flatMap(({ valves }) => valves)) {
    const { ref, model } = valve;
    const at = standingOf(valve, healthy.volts, healthy.cathodeCurrent(ref));
    if (model === undefined || at === undefined) continue;
    const known = byModel.get(model) ?? { refs: [], error: 0 };
    known.refs.push(ref);
    known.error = Math.max(known.error, amplificationError(valve, at));
    byModel.set(model, known);
  }
  return [...byModel.values()].flatMap(({ refs, error }) => (error > 0 ? [[refs, error] as const] : []));
}

/** The readings that a row misses by more than twice what may be off, the worst first. */
export function missedBy(
  observations: readonly Observation[],
  row: readonly number[],
  errors: Errors,
): readonly Observation[] {
  const spread = spreadOf(errors);
  const off = (i: number): number =>
    Math.abs((observations[i]?.read ?? 0) - (row[i] ?? 0)) / (spread[i] ?? 1);
  return observations
    .map((observation, i) => ({ observation, off: off(i) }))
    .filter((each) => each.off > 2.5)
    .sort((a, b) => b.off - a.off)
    .map(({ observation }) => observation);
}

function number(value: number): string {
  return String(Number(value.toPrecision(3)));
}
