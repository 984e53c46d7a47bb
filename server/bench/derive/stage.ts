/**
 * Owns what surrounds a valve's anode and cathode for signals: its load, what follows it, and its constants from the
 * catalogue's typical point. No readings take part.
 */
import type { TypicalPoint, Valve } from '../../catalogue/valve.ts';
import { quantity } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { isBiasNode } from '../points.ts';
import { isLoadOf, type PhaseBench, roleOf, type ValveAt } from './bench.ts';
import { as, input } from './figure.ts';
import { resistanceOf } from './resistors.ts';

/** Resistance that a node sees to ground or a supply: the parts that make it, and what must be told of it. */
export interface Load {
  readonly inputs: readonly FigureInput[];
  readonly remark?: string;
}

/** A valve stage as signals see it. */
export interface Stage {
  readonly valve: ValveAt;
  readonly anodeLoad: FigureInput;
  readonly following: Load;
  readonly constants: Constants;
  /** Cathode resistor that no capacitor bypasses. */
  readonly unbypassed?: FigureInput;
}

/** Constants of a valve at one typical point. */
export interface Constants {
  readonly anodeResistance?: FigureInput;
  readonly amplification?: FigureInput;
  readonly transconductance?: FigureInput;
  /** Ig2/Ia at that point. */
  readonly screenToAnode: number;
}

const parallel = (values: readonly number[]): number => 1 / values.reduce((sum, value) => sum + 1 / value, 0);

/** Parallel value of several, infinite for none. */
export function inParallel(...values: readonly number[]): number {
  return values.length === 0 ? Number.POSITIVE_INFINITY : parallel(values);
}

/** A stage is asked for by its gain, its bypass and what it drives. */
const stages = new WeakMap<ValveAt, { readonly stage: Stage | undefined }>();

export function findStage(bench: PhaseBench, valve: ValveAt): Stage | undefined {
  const known = stages.get(valve);
  if (known !== undefined) return known.stage;
  const stage = readStage(bench, valve);
  stages.set(valve, { stage });
  return stage;
}

function readStage(bench: PhaseBench, valve: ValveAt): Stage | undefined {
  const loads = bench.look.partsAt(valve.a).filter((part) => isLoadOf(bench, part.ref, valve.ref));
  const [load] = loads;
  const resistance = load && loads.length === 1 ? resistanceOf(load) : undefined;
  if (resistance === undefined || valve.valve === undefined) return undefined;
  if (bench.look.at(valve.a, 'a').length > 1) return undefined;
  const unbypassed = findUnbypassed(bench, valve);
  return {
    valve,
    anodeLoad: as('Ra', resistance),
    following: loadBehind(bench, valve.a),
    constants: constantsOf(valve.valve),
    ...(unbypassed && { unbypassed }),
  };
}

/** A lone valve's cathode resistor without a bypass. Two halves on one cathode drive each other there and see none. */
function findUnbypassed(bench: PhaseBench, valve: ValveAt): FigureInput | undefined {
  if (valve.k === 'gnd' || valve.onCathode.length > 1) return undefined;
  const beside = bench.look.partsAt(valve.k);
  if (beside.some((part) => roleOf(bench, part.ref) === 'cathode-bypass')) return undefined;
  const resistor = beside.find((part) => roleOf(bench, part.ref) === 'cathode-resistor');
  const resistance = resistor && resistanceOf(resistor);
  return resistance && as('Rk', resistance);
}

/** What a node drives through its coupling capacitors. */
export function loadBehind(bench: PhaseBench, node: string): Load {
  const inputs = bench.look.partsAt(node).flatMap((part) => {
    if (part.class !== 'capacitor' || roleOf(bench, part.ref) !== 'coupling') return [];
    const ends = endsOf(part);
    if (ends === undefined) return [];
    return [...loadAt(bench, ends[0] === node ? ends[1] : ends[0]).inputs];
  });
  return { inputs };
}

/** Resistances from a node to ground or a bias supply: grid leaks, the track of a pot. */
export function loadAt(bench: PhaseBench, node: string): Load {
  const leaks = bench.look.partsAt(node).map((part) => leakFrom(bench, part, node));
  const direct = leaks.flatMap(({ inputs }) => inputs);
  if (direct.length > 0) {
    const remark = leaks.find((leak) => leak.remark !== undefined)?.remark;
    return { inputs: direct, ...(remark !== undefined && { remark }) };
  }
  // Behind a stopper or a series resistor the leak is on its far side.
  const behind = bench.look.partsAt(node).flatMap((part) => {
    if (part.class !== 'resistor') return [];
    const ends = endsOf(part);
    const series = resistanceOf(part);
    if (ends === undefined || series === undefined) return [];
    const far = ends[0] === node ? ends[1] : ends[0];
    const leaks = bench.look
      .partsAt(far)
      .flatMap((other) => (other.ref === part.ref ? [] : leakFrom(bench, other, far).inputs));
    const [leak] = leaks;
    if (leak === undefined || leaks.length > 1) return [];
    const sum = series.known.quantity.value + leak.known.quantity.value;
    return [input('R', `${part.ref} + ${leak.name}`, { ...leak.known, quantity: quantity(sum, 'Ohm') })];
  });
  return { inputs: behind.length === 1 ? behind : [] };
}

function leakFrom(bench: PhaseBench, part: FittedPart, node: string): Load {
  if (part.class !== 'resistor' && part.class !== 'potentiometer') return { inputs: [] };
  const ends = endsOf(part);
  const resistance = resistanceOf(part);
  if (ends === undefined || resistance === undefined || !ends.includes(node)) return { inputs: [] };
  const far = ends[0] === node ? ends[1] : ends[0];
  if (far === 'gnd' || isBiasNode(far)) return { inputs: [resistance] };
  if (roleOf(bench, part.ref) !== 'grid-leak') return { inputs: [] };
  return {
    inputs: [resistance],
    remark: `${part.ref} returns to ${far}, which may follow the signal: the true corner is then lower`,
  };
}

/** The typical point for signal arithmetic: of those that give an anode resistance, the one at the highest voltage. */
export function constantsOf(valve: Valve): Constants {
  const known = constants.get(valve);
  if (known !== undefined) return known;
  const read = readConstants(valve);
  constants.set(valve, read);
  return read;
}

const constants = new WeakMap<Valve, Constants>();

function readConstants(valve: Valve): Constants {
  const point = valve.typical
    .filter(
      ({ anodeResistance, transconductance }) =>
        anodeResistance !== undefined || transconductance !== undefined,
    )
    .reduce<TypicalPoint | undefined>(
      (best, each) => (best === undefined || each.anode > best.anode ? each : best),
      undefined,
    );
  if (point === undefined) return { screenToAnode: 0 };
  const because = `${valve.type} at ${point.anode} V, ${Number((point.anodeCurrent * 1000).toPrecision(3))} mA: ${point.trust.source}`;
  const constant = (
    symbol: string,
    value: number | undefined,
    unit: 'Ohm' | '1' | 'S',
  ): FigureInput | undefined =>
    value === undefined
      ? undefined
      : input(symbol, `${valve.type} ${symbol}`, {
          quantity: quantity(value, unit),
          basis: 'catalogue',
          because,
        });
  const { anodeResistance: ra, transconductance: gm } = point;
  const mu = point.amplificationFactor ?? (ra !== undefined && gm !== undefined ? ra * gm : undefined);
  const anodeResistance = constant('ra', ra, 'Ohm');
  const amplification = constant('µ', mu, '1');
  const transconductance = constant('gm', gm, 'S');
  return {
    ...(anodeResistance && { anodeResistance }),
    ...(amplification && { amplification }),
    ...(transconductance && { transconductance }),
    screenToAnode: (point.screenCurrent ?? 0) / point.anodeCurrent,
  };
}
