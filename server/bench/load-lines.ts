/**
 * Owns what an output valve's load line is drawn from: its curves by the model, the supply and the load that it works into,
 * where it rests as found and as left, and the limit of its anode. Of a valve that no model knows, or whose point of rest
 * nobody read, there is none. Everything is to the cathode.
 */
import type { RatingSystem, Valve } from '../catalogue/valve.ts';
import { findModel } from '../electronics/models/find-model.ts';
import { modelCurrent, type ValveModel } from '../electronics/models/model.ts';
import { amperes, type Quantity, quantity, volts } from '../units/si.ts';
import { openState } from './change-states.ts';
import type { PhaseBench, ValveAt } from './derive/bench.ts';
import { readSet, type SetReadings } from './derive/set-readings.ts';
import { isTriodeConnected } from './derive/valve-currents.ts';
import type { Amplifier, Figure, FigureName, FittedPart, PhaseView } from './model.ts';
import { compareNames } from './points.ts';

/** A number, with its band where an assumption widens it. */
export interface Banded {
  readonly value: number;
  readonly low?: number;
  readonly high?: number;
}

/** Where a valve rests in one phase. */
export interface RestPoint {
  readonly phase: PhaseView['phase'];
  /** Anode to cathode [V]. */
  readonly anode: Banded;
  /** Anode current [A]. */
  readonly current: Banded;
  /** Screen to cathode [V]. */
  readonly screen?: number;
  /** Grid to cathode [V]. */
  readonly bias?: number;
  /** The node that feeds the anode, to ground, less the cathode's own volts at no current: where the line at rest begins [V]. */
  readonly supply?: { readonly node: string; readonly volts: number; readonly digit?: number };
  /** At the anode [W]. */
  readonly dissipation: Banded;
  /** What must be told with the figures: `average of the valves that share R18`. */
  readonly remark?: string;
}

export interface AnodeCurve {
  /** Grid to cathode [V]. */
  readonly grid: number;
  /** Anode to cathode [V] and current [A], from nothing upwards. */
  readonly points: readonly (readonly [volts: number, current: number])[];
}

/** What the transformer shows to this one valve. */
export interface ValveLoad {
  readonly transformer: string;
  /** From anode to anode, or the whole primary of a single-ended stage. */
  readonly primary: Quantity<'Ohm'>;
  /** Whether it counts the loudspeaker on its tap, or is what the transformer is marked. */
  readonly basis: 'reflected' | 'marked';
  /** For this valve while both sides conduct [Ω]; the whole load of a single-ended one. */
  readonly together: number;
  /** For this valve alone, the other side cut off [Ω]; absent where there is no other side. */
  readonly alone?: number;
  /** Valves that share its side. */
  readonly besides: number;
}

export interface LoadLine {
  readonly ref: string;
  readonly valve: Valve;
  readonly model: ValveModel;
  readonly kind: 'push-pull' | 'single-ended';
  /** As found, then as left; the factory's of a chassis sheet alone. Never empty. */
  readonly rests: readonly [RestPoint, ...RestPoint[]];
  readonly load?: ValveLoad;
  readonly limit?: {
    readonly watts: number;
    readonly system: RatingSystem;
    readonly source: string;
  };
  readonly curves: {
    /** Whose screen volts they are drawn for; none of a triode or a valve connected as one. */
    readonly phase: PhaseView['phase'];
    readonly screen?: number;
    readonly isTriodeConnected: boolean;
    readonly of: readonly AnodeCurve[];
  };
  /** How far the picture reaches [V, A]. */
  readonly reach: { readonly volts: number; readonly current: number };
}

/** Load lines of all output valves that enough is known of, in natural order. */
export function findLoadLines(amplifier: Amplifier): readonly LoadLine[] {
  const states = toldStates(amplifier.phases).map((view) => stateOf(view, amplifier));
  const last = states.at(-1);
  if (last === undefined) return [];
  return last.bench.valves
    .toSorted((a, b) => compareNames(a.ref, b.ref))
    .flatMap((valve) => loadLineOf(valve, last, states) ?? []);
}

interface ReadState {
  readonly view: PhaseView;
  readonly bench: PhaseBench;
  readonly read: SetReadings | undefined;
}

/** The states that a reader compares: as found and as left of a job, the factory's of a chassis sheet. */
export function toldStates(phases: readonly PhaseView[]): readonly PhaseView[] {
  const own = phases.filter(({ phase }) => phase !== 'work' && phase !== 'factory' && phase !== 'noted');
  return own.length > 0 ? own : phases.filter(({ phase }) => phase === 'factory');
}

function stateOf(view: PhaseView, amplifier: Amplifier): ReadState {
  return { view, bench: openState(view, amplifier), read: readOf(view) };
}

/** What the phase's verdict rests on. */
export function readOf({ verdictSet, readings }: PhaseView): SetReadings | undefined {
  if (verdictSet === undefined) return undefined;
  return readSet(readings.filter(({ normal, set }) => normal && set.id === verdictSet.id));
}

function loadLineOf(last: ValveAt, { bench }: ReadState, states: readonly ReadState[]): LoadLine | undefined {
  const { valve } = last;
  const transformer = bench.outputTransformers.find(({ terminals }) =>
    [...terminals.values()].includes(last.a),
  );
  if (valve === undefined || transformer === undefined || isTapped(last, transformer)) return undefined;
  const model = findModel(valve.type);
  if (!model.ok) return undefined;
  const rests = states.flatMap((state) => {
    const same = state.bench.valves.find(({ ref }) => ref === last.ref);
    // Another type in the same socket has other curves.
    if (same?.valve?.type !== valve.type) return [];
    return restOf(same, state, transformer) ?? [];
  });
  const [first, ...others] = rests;
  if (first === undefined) return undefined;
  const isTriode = model.value.kind === 'triode' || isTriodeConnected(last);
  const drawn = rests.findLast(({ screen }) => isTriode || screen !== undefined);
  if (drawn === undefined) return undefined;
  const kind = isPushPull(last, transformer) ? 'push-pull' : 'single-ended';
  const load = loadOf(last, transformer, bench, states, kind);
  const curveAt = curveOf(model.value, isTriode ? undefined : drawn.screen);
  const reach = reachOf(rests, load, curveAt);
  if (reach === undefined) return undefined;
  const limit = valve.limits.anodeDissipation;
  return {
    ref: last.ref,
    valve,
    model: model.value,
    kind,
    rests: [first, ...others],
    ...(load && { load }),
    ...(limit && {
      limit: { watts: limit.value, system: limit.system ?? valve.system, source: limit.trust.source },
    }),
    curves: {
      phase: drawn.phase,
      ...(!isTriode && drawn.screen !== undefined && { screen: drawn.screen }),
      isTriodeConnected: model.value.kind !== 'triode' && isTriode,
      of: curvesOf(curveAt, gridsOf(drawn, curveAt), reach.volts),
    },
    reach,
  };
}

/** A screen on a tap of the transformer swings with the anode: curves at a constant screen would say something else. */
function isTapped({ g2, a }: ValveAt, { terminals }: FittedPart): boolean {
  return g2 !== a && [...terminals].some(([terminal, node]) => node === g2 && terminal !== 'ct');
}

function isPushPull({ a }: ValveAt, { terminals }: FittedPart): boolean {
  if (!terminals.has('ct')) return false;
  return [...terminals].some(([terminal, node]) => /^p?\d$/.test(terminal) && node !== a);
}

function restOf(valve: ValveAt, { view, read }: ReadState, transformer: FittedPart): RestPoint | undefined {
  const power = figureOf(view, valve.ref, 'anode-dissipation');
  const current = figureOf(view, valve.ref, 'anode-current');
  const at = (symbol: string) => power?.inputs.find((each) => each.symbol === symbol)?.known;
  const [anode, cathode] = [at('Va'), at('Vk')];
  if (power === undefined || current === undefined || anode === undefined || cathode === undefined)
    return undefined;
  const k = cathode.quantity.value;
  const [lowK, highK] = [cathode.low ?? k, cathode.high ?? k];
  const a = anode.quantity.value;
  // Without its cathode there are no volts to the cathode, only a span that is too wide to draw.
  if (highK > lowK) return undefined;
  if (!(a > k) || !(current.quantity.value >= 0)) return undefined;
  const screen = read?.voltsAt(valve.g2)?.known.quantity.value;
  const bias = figureOf(view, valve.ref, 'bias')?.quantity.value;
  const node = supplyNode(valve, transformer);
  const known = read?.voltsAt(node)?.known;
  const supply = known?.quantity.value;
  const remark = power.remark ?? current.remark;
  return {
    phase: view.phase,
    anode: { value: a - k },
    current: bandOf(current),
    ...(screen !== undefined && screen > k && { screen: screen - k }),
    ...(bias !== undefined && bias <= 0 && { bias }),
    ...(node !== undefined &&
      supply !== undefined &&
      supply > a && {
        supply: { node, volts: supply, ...(known?.digit !== undefined && { digit: known.digit }) },
      }),
    dissipation: bandOf(power),
    ...(remark !== undefined && { remark }),
  };
}

/** The middle of a push-pull primary, else the other end of it. */
function supplyNode({ a }: ValveAt, { terminals }: FittedPart): string | undefined {
  const middle = terminals.get('ct');
  if (middle !== undefined) return middle;
  return [...terminals].find(([terminal, node]) => /^p?\d$/.test(terminal) && node !== a)?.[1];
}

function bandOf({ quantity: { value }, low, high }: Figure): Banded {
  return low === undefined || high === undefined ? { value } : { value, low, high };
}

function figureOf(view: PhaseView, subject: string, name: FigureName): Figure | undefined {
  return view.figures.find(
    ({ figure, subject: of, set }) => figure === name && of === subject && set === view.verdictSet?.id,
  );
}

function loadOf(
  valve: ValveAt,
  transformer: FittedPart,
  bench: PhaseBench,
  states: readonly ReadState[],
  kind: LoadLine['kind'],
): ValveLoad | undefined {
  const reflected = states
    .at(-1)
    ?.view.figures.find(({ figure, subject }) => figure === 'reflected-load' && subject === transformer.ref);
  const marked = transformer.specification?.windings.find(({ side }) => side === 'primary')?.impedance;
  const primary =
    reflected?.quantity.value ?? (marked?.kind === 'value' ? marked.value.quantity.value : undefined);
  if (primary === undefined || !(primary > 0)) return undefined;
  const besides = bench.valves.filter(({ a }) => a === valve.a).length;
  const share = primary * besides;
  return {
    transformer: transformer.ref,
    primary: quantity(primary, 'Ohm'),
    basis: reflected === undefined ? 'marked' : 'reflected',
    ...(kind === 'push-pull' ? { together: share / 2, alone: share / 4 } : { together: share }),
    besides,
  };
}

/** Anode current at a grid and an anode voltage; nothing where the law gives none. */
type Curve = (grid: number, anode: number) => number;

function curveOf(model: ValveModel, screen: number | undefined): Curve {
  return (grid, anode) => {
    const at = { anode: volts(anode), grid: volts(grid), screen: volts(screen ?? anode) };
    const current = modelCurrent(model, at);
    return current.ok && current.value > 0 ? current.value : 0;
  };
}

/** The picture ends beyond the point where the load cuts the valve off, and above the current that it can drive. */
function reachOf(
  rests: readonly RestPoint[],
  load: ValveLoad | undefined,
  curveAt: Curve,
): LoadLine['reach'] | undefined {
  const wide = Math.max(
    ...rests.flatMap(({ anode, current, supply }) => [
      anode.value,
      supply?.volts ?? 0,
      Math.min(anode.value + current.value * (load?.together ?? 0), MOST_SWING * anode.value),
    ]),
  );
  const far = wide * MARGIN;
  const peaks = rests.map((rest) => peakOf(rest, load, curveAt));
  const rest = Math.max(...rests.map(({ current }) => current.high ?? current.value));
  const most = Math.max(LEAST_TIMES_REST * rest, ...peaks) * MARGIN;
  if (!(far > 0 && most > 0 && Number.isFinite(far) && Number.isFinite(most))) return undefined;
  return { volts: far, current: most };
}

const MARGIN = 1.08;
/** An inductive load lets the anode swing to twice its rest, not further. */
const MOST_SWING = 2.2;
const LEAST_TIMES_REST = 2.2;

/** Where the load meets the curve of a grid at 0 V. */
function peakOf({ anode, current }: RestPoint, load: ValveLoad | undefined, curveAt: Curve): number {
  if (load === undefined) return curveAt(0, anode.value);
  let [low, high] = [0, anode.value];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (loadCurrent({ anode: anode.value, current: current.value }, load, middle) > curveAt(0, middle))
      low = middle;
    else high = middle;
  }
  return loadCurrent({ anode: anode.value, current: current.value }, load, high);
}

/**
 * Anode current on the load's line through the point of rest: by the load of both sides while both conduct, beyond that by
 * one side's alone. Nothing below cut-off.
 */
export function loadCurrent(
  rest: { readonly anode: number; readonly current: number },
  { together, alone }: Pick<ValveLoad, 'together' | 'alone'>,
  anode: number,
): number {
  const swing = rest.anode - anode;
  const shared = rest.current + swing / together;
  return Math.max(0, alone === undefined ? shared : Math.max(shared, swing / alone));
}

/** Most curves, and how many stand above the one of the bias. */
const MOST_CURVES = 11;
const ABOVE = 3;
/** Curves reach this many times the bias. */
const BEYOND = 1.6;

/** Grid volts of the curves: round steps from nothing to well past the bias. */
function gridsOf({ bias, anode, current }: RestPoint, curveAt: Curve): readonly number[] {
  const rest = bias !== undefined && bias < 0 ? -bias : gridFor(curveAt, anode.value, current.value);
  const step = roundStep(Math.max(rest, 0.5) / ABOVE);
  const count = Math.min(MOST_CURVES, 1 + Math.floor((BEYOND * rest) / step));
  return Array.from({ length: count }, (_, i) => (i === 0 ? 0 : -i * step));
}

/** The bias that an average valve would need there, as a magnitude. */
function gridFor(curveAt: Curve, anode: number, current: number): number {
  let [low, high] = [0, 300];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (curveAt(-middle, anode) > current) low = middle;
    else high = middle;
  }
  return high;
}

/** The next of 1, 2, 5, 10, … downwards. */
function roundStep(most: number): number {
  const decade = 10 ** Math.floor(Math.log10(most));
  return ([5, 2].find((each) => each * decade <= most) ?? 1) * decade;
}

const SAMPLES = 80;

function curvesOf(curveAt: Curve, grids: readonly number[], reach: number): readonly AnodeCurve[] {
  return grids.map((grid) => ({
    grid,
    // Closer together at the knee.
    points: Array.from({ length: SAMPLES + 1 }, (_, i) => {
      const anode = reach * (i / SAMPLES) ** 2;
      return [anode, Number(amperes(curveAt(grid, anode)))] as const;
    }),
  }));
}
