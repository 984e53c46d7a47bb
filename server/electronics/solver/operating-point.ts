/**
 * Owns where a circuit of valves, resistors and sources comes to rest: node voltages, branch and valve currents at direct
 * current. Newton's method with a line search; where that fails, the circuit is led there by leaking every node to ground
 * and taking the leak away, then by raising the sources from nothing. Each of these ends, in an answer or a refusal.
 */
import {
  type Amperes,
  amperes,
  type Ohms,
  type Ratio,
  type Siemens,
  type Volts,
  volts,
  type Watts,
  watts,
} from '../../units/si.ts';
import { modelSlopes } from '../models/model.ts';
import { found, type Result, refused } from '../result.ts';
import { assembleDirect, type DirectSystem, type NonlinearStamp } from './direct-system.ts';
import { solveReal } from './lu.ts';
import type { Netlist, ValveElement } from './netlist.ts';

/** How the answer was reached. */
export type Route = 'newton' | 'leak stepping' | 'source stepping';

export interface ValvePoint {
  readonly anodeCurrent: Amperes;
  readonly screenCurrent: Amperes;
  readonly cathodeCurrent: Amperes;
  /** To the cathode. */
  readonly anodeVoltage: Volts;
  readonly gridVoltage: Volts;
  readonly screenVoltage?: Volts;
  readonly anodeDissipation: Watts;
  readonly screenDissipation: Watts;
  /** Absent where the valve is cut off. */
  readonly slopes?: {
    readonly transconductance: Siemens;
    readonly anodeResistance: Ohms;
    readonly amplificationFactor: Ratio;
  };
  /** What must be told with these numbers. */
  readonly remarks: readonly string[];
}

export interface OperatingPoint {
  readonly nodes: ReadonlyMap<string, Volts>;
  /**
   * Current through each element from its first named node to its second; of a source, what it delivers out of `plus`;
   * of a winding (`T1.1`), from its start to its end. Wires (0 Ω) and capacitors have none.
   */
  readonly branches: ReadonlyMap<string, Amperes>;
  readonly valves: ReadonlyMap<string, ValvePoint>;
  /** Nodes that only capacitors hold: they carry no direct current, and nothing says where they stand. */
  readonly undetermined: readonly string[];
  readonly route: Route;
  readonly iterations: number;
}

/** More steps than any circuit of this kind has needed, by far; then the search is given up. */
const MOST_ITERATIONS = 3000;
const MOST_PER_STAGE = 60;

/** An equation of a node may be off by this many amperes, of a branch by this many volts, before scaling with its size. */
const CURRENT_ERROR = 1e-12;
const VOLTAGE_ERROR = 1e-9;
const RELATIVE_ERROR = 1e-10;

interface Settled {
  readonly x: Float64Array;
  readonly route: Route;
  readonly iterations: number;
}

/**
 * Operating point of a circuit.
 *
 * Formula:   for each node Σ i = 0, for each source or winding its own law; solved by x ← x − α · J⁻¹ · F(x)
 * Symbols:   i currents out of a node [A], F the equations' residual [A, V], J its Jacobian, α step length by line search [1]
 * Valid for: direct current: capacitors open, chokes and windings their resistance. Supplies must be settled first
 *            (`settleAmplifier`). Refused: a node that nothing ties to ground, by name; a circuit that does not settle
 * Errors:    Kirchhoff's laws hold to 1e-10 of the currents met; the valve models' errors are far larger (see each model).
 *            Grid current is not modelled: a grid above its cathode is remarked
 * Source:    Newton's method with continuation; textbook numerical analysis, no edition named
 * Example:   findOperatingPoint({ elements: [{ kind: 'voltage-source', name: 'HT', plus: 'B+', minus: 'gnd', voltage: volts(300) }, { kind: 'resistor', name: 'R1', from: 'B+', to: 'a', resistance: ohms(100_000) }, { kind: 'resistor', name: 'R2', from: 'a', to: 'gnd', resistance: ohms(200_000) }] }) → { nodes: { a: 200 }, branches: { R1: 0.001 } }
 */
export function findOperatingPoint(netlist: Netlist): Result<OperatingPoint> {
  const system = assembleDirect(netlist);
  if (!system.ok) return system;
  const settled = settle(system.value, undefined);
  return settled.ok ? describe(system.value, settled.value) : settled;
}

/** Finds the rest of an assembled circuit, from the answer of a neighbouring one where there is one. */
export function settle(system: DirectSystem, start: Float64Array | undefined): Result<Settled> {
  const search = startSearch(system);
  const origin = new Float64Array(system.order);
  const from = start !== undefined && start.length === system.order ? start : origin;

  const direct = search.newton(from, 0, 1);
  if (direct.ok) return found({ x: direct.value, route: 'newton', iterations: search.count() });
  if (direct.singular) return refused(direct.reason);

  const leaked = leadByLeak(search, origin);
  if (leaked !== undefined) {
    return found({ x: leaked, route: 'leak stepping', iterations: search.count() });
  }
  const raised = leadBySources(search, origin);
  if (raised !== undefined) {
    return found({ x: raised, route: 'source stepping', iterations: search.count() });
  }
  return refused(`does not settle: ${direct.reason}`);
}

/** Ties every node to ground by a conductance that is taken away by decades, each answer starting the next. */
function leadByLeak(search: Search, origin: Float64Array): Float64Array | undefined {
  let x: Float64Array = origin;
  for (let leak = 1e-2; leak > 1e-13; leak /= 10) {
    const step = search.newton(x, leak, 1);
    if (!step.ok) return undefined;
    x = step.value;
  }
  const last = search.newton(x, 0, 1);
  return last.ok ? last.value : undefined;
}

/** Raises all sources together from nothing; a step that fails is halved, one that succeeds lengthens the next. */
function leadBySources(search: Search, origin: Float64Array): Float64Array | undefined {
  let x: Float64Array = origin;
  let share = 0;
  let step = 0.1;
  while (share < 1) {
    const next = Math.min(1, share + step);
    const tried = search.newton(x, 0, next);
    if (tried.ok) {
      x = tried.value;
      share = next;
      step *= 1.5;
    } else {
      step /= 2;
      if (step < 1e-4 || search.count() > MOST_ITERATIONS) return undefined;
    }
  }
  return x;
}

type Search = ReturnType<typeof startSearch>;
type Attempt =
  | { readonly ok: true; readonly value: Float64Array }
  | { readonly ok: false; readonly reason: string; readonly singular: boolean };

function startSearch(system: DirectSystem) {
  const { order, linear, nodeCount, unknowns, stamps } = system;
  const width = order + 1;
  const matrix = new Float64Array(order * width);
  const residual = new Float64Array(order);
  const magnitude = new Float64Array(order);
  const trial = new Float64Array(order);
  let iterations = 0;

  /** Residual at x into `residual`, the size of its terms into `magnitude`; the Jacobian into `matrix` where asked. */
  const evaluate = (x: Float64Array, leak: number, share: number, withJacobian: boolean): void => {
    if (withJacobian) matrix.set(linear);
    for (let i = 0; i < order; i++) {
      const row = i * width;
      // The last column of the linear part is the sources' right-hand side.
      const source = share * (linear[row + order] ?? 0);
      let sum = -source;
      let size = Math.abs(source);
      for (let j = 0; j < order; j++) {
        const entry = linear[row + j] ?? 0;
        if (entry === 0) continue;
        const term = entry * (x[j] ?? 0);
        sum += term;
        size += Math.abs(term);
      }
      if (leak > 0 && i < nodeCount) {
        sum += leak * (x[i] ?? 0);
        if (withJacobian) matrix[row + i] = (matrix[row + i] ?? 0) + leak;
      }
      residual[i] = sum;
      magnitude[i] = size;
    }
    for (const stamp of stamps)
      addStamp(stamp, x, residual, magnitude, withJacobian ? matrix : undefined, width);
  };

  /** Sum of squares, currents counted in milliamperes against volts, so that neither kind drowns the other. */
  const merit = (): number => {
    let sum = 0;
    for (let i = 0; i < order; i++) {
      const scaled = (residual[i] ?? 0) * (i < nodeCount ? 1000 : 1);
      sum += scaled * scaled;
    }
    return sum;
  };

  const worst = (): number => {
    let index = 0;
    let largest = -1;
    for (let i = 0; i < order; i++) {
      const allowed = (i < nodeCount ? CURRENT_ERROR : VOLTAGE_ERROR) + RELATIVE_ERROR * (magnitude[i] ?? 0);
      const excess = Math.abs(residual[i] ?? 0) / allowed;
      if (!(excess <= largest)) {
        largest = excess;
        index = i;
      }
    }
    return largest <= 1 ? -1 : index;
  };

  const newton = (start: Float64Array, leak: number, share: number): Attempt => {
    let x = Float64Array.from(start);
    let reason = '';
    for (let round = 0; round < MOST_PER_STAGE; round++) {
      if (++iterations > MOST_ITERATIONS) return { ok: false, reason: 'too many steps', singular: false };
      evaluate(x, leak, share, true);
      const bad = worst();
      if (bad < 0) return { ok: true, value: x };
      reason = `${unknowns[bad] ?? ''} keeps moving`;
      const before = merit();
      for (let i = 0; i < order; i++) matrix[i * width + order] = residual[i] ?? 0;
      const undetermined = solveReal(matrix, order);
      if (undetermined >= 0) {
        return {
          ok: false,
          reason: `nothing determines ${unknowns[undetermined] ?? ''}`,
          singular: leak > 0 || stamps.length === 0,
        };
      }
      let alpha = 1;
      let accepted = false;
      for (let halving = 0; halving < 14 && !accepted; halving++) {
        for (let i = 0; i < order; i++) trial[i] = (x[i] ?? 0) - alpha * (matrix[i * width + order] ?? 0);
        evaluate(trial, leak, share, false);
        const after = merit();
        accepted = after < before * (1 - 1e-4 * alpha) || worst() < 0;
        if (!accepted) alpha /= 2;
      }
      if (!accepted) return { ok: false, reason, singular: false };
      x = Float64Array.from(trial);
    }
    return { ok: false, reason, singular: false };
  };

  return { newton, count: () => iterations };
}

/** Adds a valve's or rectifier's currents, and their slopes where there is a matrix to take them. */
function addStamp(
  stamp: NonlinearStamp,
  x: Float64Array,
  residual: Float64Array,
  magnitude: Float64Array,
  matrix: Float64Array | undefined,
  width: number,
): void {
  stamp.evaluate(x);
  for (const flow of stamp.flows) {
    for (const [row, sign] of [
      [flow.from, 1],
      [flow.to, -1],
    ] as const) {
      if (row < 0) continue;
      residual[row] = (residual[row] ?? 0) + sign * flow.current;
      magnitude[row] = (magnitude[row] ?? 0) + Math.abs(flow.current);
      if (matrix === undefined) continue;
      for (let k = 0; k < flow.by.length; k++) {
        const column = flow.by[k] ?? -1;
        if (column < 0) continue;
        const index = row * width + column;
        matrix[index] = (matrix[index] ?? 0) + sign * (flow.slopes[k] ?? 0);
      }
    }
  }
}

/** The answer in the circuit's own words. */
export function describe(system: DirectSystem, settled: Settled): Result<OperatingPoint> {
  const { x } = settled;
  if (!isInRange(system, x)) return refused('out of range');
  const nodes = new Map<string, Volts>();
  for (const [name, index] of system.voltageOf) {
    if (index === undefined) continue;
    nodes.set(name, volts(index < 0 ? 0 : (x[index] ?? 0)));
  }
  const at = (name: string): number => nodes.get(name) ?? 0;
  const branches = new Map<string, Amperes>();
  for (const branch of system.branches) branches.set(branch.name, amperes(branch.current(x)));
  const valves = new Map<string, ValvePoint>();
  for (const stamp of system.stamps) {
    stamp.evaluate(x);
    const [anode, screen] = stamp.flows;
    if (stamp.element.kind === 'valve') {
      valves.set(
        stamp.element.name,
        describeValve(stamp.element, at, anode?.current ?? 0, screen?.current ?? 0),
      );
    } else branches.set(stamp.element.name, amperes(anode?.current ?? 0));
  }
  return found({
    nodes,
    branches,
    valves,
    undetermined: system.undetermined,
    route: settled.route,
    iterations: settled.iterations,
  });
}

/** Whether no voltage or current is so large that a product of two could overflow. */
function isInRange(system: DirectSystem, x: Float64Array): boolean {
  const isModest = (value: number): boolean => Math.abs(value) < 1e100;
  return (
    x.every(isModest) &&
    system.branches.every(({ current }) => isModest(current(x))) &&
    system.stamps.every((stamp) => {
      stamp.evaluate(x);
      return stamp.flows.every(({ current }) => isModest(current));
    })
  );
}

const GRID_CURRENT = 'the grid stands above the cathode: grid current would flow and is not modelled';

function describeValve(
  { anode, grid, cathode, screen, model }: ValveElement,
  at: (node: string) => number,
  anodeCurrent: number,
  screenCurrent: number,
): ValvePoint {
  const anodeVoltage = volts(at(anode) - at(cathode));
  const gridVoltage = volts(at(grid) - at(cathode));
  const screenVoltage = screen === undefined ? undefined : volts(at(screen) - at(cathode));
  const electrodes = { anode: anodeVoltage, grid: gridVoltage };
  const slopes = modelSlopes(
    model,
    screenVoltage === undefined ? electrodes : { ...electrodes, screen: screenVoltage },
  );
  return {
    anodeCurrent: amperes(anodeCurrent),
    screenCurrent: amperes(screenCurrent),
    cathodeCurrent: amperes(anodeCurrent + screenCurrent),
    anodeVoltage,
    gridVoltage,
    ...(model.kind === 'pentode' && screenVoltage !== undefined ? { screenVoltage } : {}),
    anodeDissipation: watts(anodeVoltage * anodeCurrent),
    screenDissipation: watts((screenVoltage ?? 0) * screenCurrent),
    ...(slopes.ok ? { slopes: slopes.value } : {}),
    remarks: gridVoltage > 0 ? [GRID_CURRENT, ...model.remarks] : model.remarks,
  };
}
