/**
 * Owns the currents at one node, each as far as readings and parts say it: what every part and electrode there brings or
 * takes, with the tolerances of parts, the meter's error and its last digit carried through.
 */
import type { PartClass } from '../dialect/tree.ts';
import { ask } from '../sheet/asking.ts';
import { add, divide, type Interval, interval, negate, offBy } from '../units/interval.ts';
import { type ValveAt, valvesOf } from './derive/bench.ts';
import { endsOf, isRectifier, type Look, lookAt } from './look.ts';
import { type BenchReading, type FittedPart, findMeasured, findValueInUse, type PhaseView } from './model.ts';
import { isSupplyRail } from './points.ts';
import { findReadingsBy } from './read-by-name.ts';
import { outdoes } from './readings.ts';
import { findOnTransformer } from './windings.ts';

/** One current at a node, positive into it [A]. */
export interface CurrentTerm {
  /** A part, or a valve by its ref. */
  readonly subject: string;
  readonly middle: number;
  readonly band: Interval;
  readonly readings: readonly BenchReading[];
  /** For a resistor: what it is marked or measured, and whether it was measured. */
  readonly ohms?: { readonly value: number; readonly isMeasured: boolean };
}

/** A known current, or the one who takes it unknown. */
export type Term = CurrentTerm | { readonly subject: string; readonly unknown: true };

/** What a phase's verdict set read, by node and part. */
export interface NodeBench {
  readonly view: PhaseView;
  readonly look: Look;
  readonly valves: ReadonlyMap<string, ValveAt>;
  readonly volts: ReadByName;
  readonly onPart: ReadByName;
  readonly currents: ReadByName;
  /**
   * Where nobody asks again after an edit: what brings which current to a node, in the order of what is attached there; null
   * where it has none. From several sides the same is asked for.
   */
  readonly known?: Map<string, (Term | null | undefined)[]>;
}

/** The last word on a name, which counts as asked for. */
interface ReadByName {
  readonly get: (name: string) => BenchReading | undefined;
}

/** Input resistance of a bench meter [Ω]: what it reads behind a large resistor is low by their ratio. */
export const METER_OHMS = 10e6;
/** A winding's resistance from cold, marked, to hot: copper gains about 0.4 % for each kelvin. */
const HOT_COPPER = 0.2;
/** Of the cathode current, where neither the screen's own resistor nor the catalogue says more. */
const LARGEST_SCREEN_SHARE = 0.3;
/** Currents smaller than this are a meter's zero [A]. */
export const NOTHING = 1e-6;

/** What holds whatever was read is taken over from `last`, a bench of the same parts in the same circuit. */
export function openNodes(view: PhaseView, set: number, last: NodeBench | undefined): NodeBench {
  const look = last?.look ?? lookAt(view.parts, view.circuit);
  return {
    view,
    look,
    valves: last?.valves ?? new Map(valvesOf(view, look).map((valve) => [valve.ref, valve])),
    ...readingsOf(view, set),
    known: view.thread === undefined ? new Map() : undefined,
  };
}

export function sumOf(terms: readonly CurrentTerm[]): { readonly middle: number; readonly band: Interval } {
  let middle = 0;
  let band = interval(0, 0);
  for (const term of terms) {
    middle += term.middle;
    band = add(band, term.band);
  }
  return { middle, band };
}

/**
 * Goes through everything soldered to a node but `except`, until `take` wants no more. `depth` 1: asked for the sake of a valve,
 * whose fellows then stay unknown.
 */
export function takeTerms(
  bench: NodeBench,
  node: string,
  except: string | undefined,
  depth: number,
  take: (term: Term) => boolean,
): void {
  const { view, valves, known } = bench;
  let there = known?.get(node);
  if (known !== undefined && there === undefined) {
    there = [];
    known.set(node, there);
  }
  let last: string | undefined;
  let i = -1;
  for (const { ref, terminal } of view.circuit.attached(node)) {
    i++;
    if (ref === except) continue;
    const valve = valves.get(ref);
    // What is attached stands in the order of refs: a part with two ends here follows itself.
    const part = valve === undefined && ref !== last ? view.parts.get(ref) : undefined;
    last = ref;
    const isKept = there !== undefined && (depth === 0 || part?.class === 'resistor');
    let term = isKept ? there?.[i] : undefined;
    if (term === undefined) {
      if (valve !== undefined) term = valveTerm(bench, valve, terminal, depth) ?? null;
      else term = (part && partTerm(bench, part, node, depth)) ?? null;
      if (isKept && there !== undefined) there[i] = term;
    }
    if (term !== null && !take(term)) return;
  }
}

/** The currents of everything at a node but `except`; undefined where one of them is not known. */
export function knownTermsAt(
  bench: NodeBench,
  node: string,
  except: string,
  depth: number,
): readonly CurrentTerm[] | undefined {
  const known: CurrentTerm[] = [];
  let isWhole = true;
  takeTerms(bench, node, except, depth, (term) => {
    if ('unknown' in term) isWhole = false;
    else known.push(term);
    return isWhole;
  });
  return isWhole ? known : undefined;
}

function readingsOf(view: PhaseView, set: number): Pick<NodeBench, 'volts' | 'onPart' | 'currents'> {
  const find = findReadingsBy(view);
  const lastOf = (name: string, isOne: (reading: BenchReading) => boolean): BenchReading | undefined => {
    ask(name);
    let last: BenchReading | undefined;
    for (const reading of find(name)) {
      if (reading.set.id !== set || !reading.normal || reading.wave !== undefined) continue;
      if (reading.to === undefined && isOne(reading) && outdoes(reading, last)) last = reading;
    }
    return last;
  };
  return {
    volts: {
      get: (name) => lastOf(name, ({ quantity, node }) => quantity === 'voltage' && node === name),
    },
    onPart: {
      get: (name) =>
        lastOf(name, ({ quantity, node, at }) => quantity === 'voltage' && node === undefined && at === name),
    },
    currents: { get: (name) => lastOf(name, ({ quantity, at }) => quantity === 'current' && at === name) },
  };
}

/** Whether something is there whose current nothing can say, whatever is read. */
export function isNeverWhole({ view, valves }: NodeBench, node: string): boolean {
  return view.circuit.attached(node).some(({ ref }) => {
    const part = valves.has(ref) ? undefined : view.parts.get(ref);
    return part !== undefined && (part.class === 'valve' ? isRectifier(part) : !SAYABLE.has(part.class));
  });
}

/** Parts whose currents `partTerm` may know. */
const SAYABLE: ReadonlySet<PartClass> = new Set<PartClass>([
  'capacitor',
  'test-point',
  'resistor',
  'inductor',
  'potentiometer',
  'transformer',
  'transformer-or-transistor',
]);

function partTerm(bench: NodeBench, part: FittedPart, node: string, depth: number): Term | undefined {
  const { ref } = part;
  const unknown: Term = { subject: ref, unknown: true };
  switch (part.class) {
    case 'capacitor':
    case 'test-point':
      // What leaks through one that was found leaking is no longer nothing.
      return part.measured.some(({ quantity }) => quantity === 'insulation' || quantity === 'leakage')
        ? unknown
        : undefined;
    case 'resistor':
    case 'inductor':
      return resistorTerm(bench, part, node) ?? unknown;
    case 'potentiometer': {
      const wiper = part.terminals.get('2');
      if (wiper === node && !endsOf(part)?.includes(node)) {
        return isDeadEnd(bench, node, part) ? undefined : unknown;
      }
      const isTapped =
        wiper !== undefined && !endsOf(part)?.includes(wiper) && !isDeadEnd(bench, wiper, part);
      return (isTapped ? undefined : resistorTerm(bench, part, node)) ?? unknown;
    }
    case 'valve':
      // The envelope of sections that are there by themselves.
      return isRectifier(part) ? unknown : undefined;
    case 'transformer':
    case 'transformer-or-transistor':
      return transformerTerm(bench, part, node, depth) ?? unknown;
    default:
      return unknown;
  }
}

/** Ohm's law with what part and meter may be off; nothing where the far end leads nowhere. */
function resistorTerm(bench: NodeBench, part: FittedPart, node: string): CurrentTerm | undefined {
  const ends = endsOf(part);
  if (ends === undefined) return undefined;
  const far = ends[0] === node ? ends[1] : ends[0];
  const read = bench.currents.get(part.ref);
  const here = voltsAt(bench, node);
  const there = voltsAt(bench, far);
  const isUphill = here !== undefined && there !== undefined ? there.middle > here.middle : undefined;
  if (read !== undefined && isUphill !== undefined) {
    const middle = Math.abs(read.value.quantity.value) * (isUphill ? 1 : -1);
    return { subject: part.ref, middle, band: offBy(middle, read.uncertainty), readings: [read] };
  }
  if (findMeasured(part)?.special === 'open') return undefined;
  if (isDeadEnd(bench, far, part) || isDeadEnd(bench, node, part)) return nothing(part.ref);
  const ohms = ohmsOf(part);
  const across = bench.onPart.get(part.ref);
  if (ohms === undefined || isUphill === undefined || here === undefined || there === undefined)
    return undefined;
  const drop =
    across === undefined
      ? add(there.band, negate(here.band))
      : offBy(Math.abs(across.value.quantity.value) * (isUphill ? 1 : -1), across.uncertainty);
  const middle =
    (across === undefined ? there.middle - here.middle : (drop.low + drop.high) / 2) / ohms.value;
  const band = divide(drop, ohms.band);
  if (band === undefined) return undefined;
  return {
    subject: part.ref,
    middle,
    band: withMeter(band, node, here, far, there),
    readings: across === undefined ? here.readings.concat(there.readings) : [across],
    ohms: { value: ohms.value, isMeasured: ohms.isMeasured },
  };
}

/**
 * What the meter may have taken at either end while it was there, each end being read by itself: it pulls a point towards ground,
 * so that less comes into the first node than is reckoned, or more where the other end was pulled. A supply does not move.
 */
function withMeter(band: Interval, one: string, here: Estimate, two: string, there: Estimate): Interval {
  const takenAt = (node: string, { middle }: Estimate): number =>
    node === 'gnd' || isSupplyRail(node) ? 0 : middle / METER_OHMS;
  const [mine, its] = [takenAt(one, here), takenAt(two, there)];
  return {
    low: band.low - Math.max(0, mine) - Math.max(0, -its),
    high: band.high + Math.max(0, its) + Math.max(0, -mine),
  };
}

const nothing = (subject: string): CurrentTerm => ({
  subject,
  middle: 0,
  band: interval(0, 0),
  readings: [],
});

/** A place with nothing but grids and capacitors besides this part: no direct current gets there. */
function isDeadEnd(bench: NodeBench, node: string, from: FittedPart): boolean {
  if (node === 'gnd' || isSupplyRail(node)) return false;
  return bench.view.circuit.attached(node).every(({ ref, terminal }) => {
    if (ref === from.ref) return true;
    const part = bench.view.parts.get(ref);
    if (bench.valves.has(ref) || part?.class === 'valve') return terminal === 'g';
    return part?.class === 'capacitor' && !part.measured.some(({ quantity }) => quantity === 'insulation');
  });
}

function ohmsOf(
  part: FittedPart,
): { readonly value: number; readonly band: Interval; readonly isMeasured: boolean } | undefined {
  const isChoke = part.class === 'inductor';
  const measured = isChoke
    ? part.measured.findLast(({ quantity, special }) => quantity === 'resistance' && special === undefined)
    : findMeasured(part);
  const known = isChoke ? (measured?.value ?? part.resistance) : findValueInUse(part);
  if (known === undefined || known.quantity.unit !== 'Ohm' || !(known.quantity.value > 0)) return undefined;
  const { value } = known.quantity;
  const marked = isChoke ? Math.max(part.tolerance, HOT_COPPER) : part.tolerance;
  const off = (measured?.uncertainty ?? marked * value) + (isChoke && measured ? HOT_COPPER * value : 0);
  return {
    value,
    band: { low: Math.max(value - off, value * 1e-3), high: value + off },
    isMeasured: measured !== undefined,
  };
}

interface Estimate {
  readonly middle: number;
  readonly band: Interval;
  readonly readings: readonly BenchReading[];
}

function voltsAt(bench: NodeBench, node: string): Estimate | undefined {
  if (node === 'gnd') return { middle: 0, band: interval(0, 0), readings: [] };
  const reading = bench.volts.get(node);
  if (reading === undefined) return undefined;
  const { value } = reading.value.quantity;
  return { middle: value, band: offBy(value, reading.uncertainty), readings: [reading] };
}

/** A valve's electrode, by what is known at its other electrodes. */
function valveTerm(bench: NodeBench, valve: ValveAt, terminal: string, depth: number): Term | undefined {
  if (terminal === 'g') return undefined;
  const unknown: Term = { subject: valve.ref, unknown: true };
  if (depth > 0) return unknown;
  if (terminal === 'k') return cathodeTerm(bench, valve) ?? unknown;
  if (terminal === 'a' || terminal === 'g2') {
    const cathode = flowFrom(bench, valve.k, valve.ref) ?? readCurrent(bench, valve.ref);
    if (cathode === undefined || valve.onCathode.length > 1) return unknown;
    if (valve.kind === 'triode' || valve.a === valve.g2) {
      return terminal === 'a' ? outOf(valve.ref, cathode) : undefined;
    }
    const share = screenShareOf(valve);
    const screenBand = { low: 0, high: cathode.band.high * share.high };
    const screen = { middle: cathode.middle * share.middle, band: screenBand, readings: cathode.readings };
    const anode = {
      middle: cathode.middle - screen.middle,
      band: { low: cathode.band.low * (1 - share.high), high: cathode.band.high },
      readings: cathode.readings,
    };
    return outOf(valve.ref, terminal === 'a' ? anode : screen);
  }
  // Suppressor, heater and the like are tied to what carries their current.
  return terminal === 'g3' ? undefined : unknown;
}

/** Out of a cathode comes what goes into anode and screen. */
function cathodeTerm(bench: NodeBench, valve: ValveAt): CurrentTerm | undefined {
  const read = readCurrent(bench, valve.ref);
  if (read !== undefined) return { subject: valve.ref, ...read };
  const anode = readCurrent(bench, `${valve.ref}.a`) ?? into(bench, valve.a, valve.ref);
  if (anode === undefined) return undefined;
  if (valve.kind === 'triode' && valve.isKindKnown) return { subject: valve.ref, ...anode };
  if (valve.a === valve.g2) return { subject: valve.ref, ...anode };
  const screen = readCurrent(bench, `${valve.ref}.g2`) ?? into(bench, valve.g2, valve.ref);
  if (screen !== undefined) {
    return {
      subject: valve.ref,
      middle: anode.middle + screen.middle,
      band: add(anode.band, screen.band),
      readings: [...anode.readings, ...screen.readings],
    };
  }
  const share = screenShareOf(valve);
  return {
    subject: valve.ref,
    middle: anode.middle / (1 - share.middle),
    band: { low: anode.band.low, high: anode.band.high / (1 - share.high) },
    readings: anode.readings,
  };
}

/** Twice the most that the catalogue's new valves show, and never less than nothing. */
function screenShareOf({ valve }: ValveAt): { readonly middle: number; readonly high: number } {
  const known = valve?.screenShare;
  if (known === undefined) return { middle: LARGEST_SCREEN_SHARE / 3, high: LARGEST_SCREEN_SHARE };
  return { middle: (known.low + known.high) / 2, high: Math.max(LARGEST_SCREEN_SHARE, known.high) };
}

function readCurrent(bench: NodeBench, name: string): Estimate | undefined {
  const reading = bench.currents.get(name);
  if (reading === undefined) return undefined;
  const middle = Math.abs(reading.value.quantity.value);
  return { middle, band: offBy(middle, reading.uncertainty), readings: [reading] };
}

const outOf = (subject: string, { middle, band, readings }: Estimate): CurrentTerm => ({
  subject,
  middle: -middle,
  band: negate(band),
  readings,
});

/** What the other parts of a valve's node bring to it, where all of them are known. */
function into(bench: NodeBench, node: string, except: string): Estimate | undefined {
  // On a rail there are too many others, and the rectifier among them.
  if (node === 'gnd' || isSupplyRail(node)) return undefined;
  const sure = knownTermsAt(bench, node, except, 1);
  if (sure === undefined || sure.length === 0) return undefined;
  const sum = sumOf(sure);
  return sum.middle > 0 ? { ...sum, readings: sure.flatMap(({ readings }) => readings) } : undefined;
}

/** What the other parts of a node take from it. */
function flowFrom(bench: NodeBench, node: string, except: string): Estimate | undefined {
  if (node === 'gnd' || isSupplyRail(node)) return undefined;
  const sure = knownTermsAt(bench, node, except, 1);
  if (sure === undefined || sure.length === 0) return undefined;
  const { middle, band } = sumOf(sure);
  return middle < 0
    ? { middle: -middle, band: negate(band), readings: sure.flatMap(({ readings }) => readings) }
    : undefined;
}

/** Half of an output transformer at an anode: its drop over its own resistance, hot. At the centre tap: what the valves take. */
function transformerTerm(
  bench: NodeBench,
  part: FittedPart,
  node: string,
  depth: number,
): CurrentTerm | undefined {
  if (bench.view.roles.get(part.ref)?.role !== 'output-transformer') return undefined;
  const tap = part.terminals.get('ct') ?? part.terminals.get('p2');
  const terminal = [...part.terminals].find(([, at]) => at === node)?.[0];
  if (tap === undefined || terminal === undefined) return undefined;
  if (node !== tap) {
    const ohms = halfOhms(bench, part, terminal);
    const [here, there] = [voltsAt(bench, node), voltsAt(bench, tap)];
    if (ohms === undefined || here === undefined || there === undefined) return undefined;
    const drop = add(there.band, negate(here.band));
    const band = divide(drop, ohms.band);
    if (band === undefined) return undefined;
    return {
      subject: part.ref,
      middle: (there.middle - here.middle) / ohms.value,
      band,
      readings: [...here.readings, ...there.readings],
    };
  }
  if (depth > 0) return undefined;
  const valves = [...bench.valves.values()].filter(
    ({ a }) => a !== tap && [...part.terminals.values()].includes(a),
  );
  const sure: CurrentTerm[] = [];
  for (const valve of valves) {
    const term = valveTerm(bench, valve, 'a', 0);
    if (term !== undefined && !('unknown' in term)) sure.push(term);
  }
  if (sure.length === 0 || sure.length < valves.length) return undefined;
  return { subject: part.ref, ...sumOf(sure), readings: sure.flatMap(({ readings }) => readings) };
}

function halfOhms(bench: NodeBench, part: FittedPart, terminal: string) {
  const halves = findOnTransformer(bench.view, part, 'halves');
  const known = terminal === 'p1' ? halves?.value : terminal === 'p2' ? halves?.second : undefined;
  if (known === undefined || !(known.quantity.value > 0)) return undefined;
  const { value } = known.quantity;
  // Read cold, it is up to a fifth more when hot.
  return { value: value * (1 + HOT_COPPER / 2), band: { low: value * 0.98, high: value * (1 + HOT_COPPER) } };
}
