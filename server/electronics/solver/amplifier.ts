/**
 * Owns a whole amplifier at rest: its supplies and its valves together. Each supply is put to the circuit as a voltage behind
 * a resistance, tangent to its own regulation curve, and drawn anew at the current that the circuit then takes.
 */
import { amperes, type Ohms, ohms, volts } from '../../units/si.ts';
import { found, type Result, refused } from '../result.ts';
import { assembleDirect, type DirectSystem } from './direct-system.ts';
import { checkElements, type Element, type Netlist, type Supply } from './netlist.ts';
import { describe, findOperatingPoint, type OperatingPoint, settle } from './operating-point.ts';
import { type ReservoirState, settleReservoir } from './reservoir.ts';

export interface SupplyPoint {
  readonly reservoir: ReservoirState;
  /** How much the direct volts sag for an ampere more. */
  readonly outputResistance: Ohms;
}

export interface AmplifierPoint extends OperatingPoint {
  readonly supplies: ReadonlyMap<string, SupplyPoint>;
}

/** Rounds between supplies and circuit; three or four are usual. */
const MOST_ROUNDS = 20;
const PATIENCE = 8;
/** Amperes beyond this are a slip of the pen. */
const LARGEST_CURRENT = 1e30;
/** Currents that agree this well are the same. */
const SAME_CURRENT = 1e-7;
/** Below this a supply counts as unloaded: nothing but insulation draws on it. */
const NO_LOAD = 1e-7;

/**
 * Operating point of an amplifier with its supplies.
 *
 * Formula:   reservoir volts V(I) of each supply and the circuit's currents I(V) at once, by Newton's method over both
 * Symbols:   V mean reservoir volts [V], I direct current that the circuit takes from it [A]
 * Valid for: no signal; capacitor-input supplies; valve models for all valves. Refused: floating nodes by name, a supply
 *            that is overloaded or fed backwards by name, a circuit that does not settle
 * Errors:    those of the valve models and of the winding's data; the reservoir's ripple does not reach the valves here
 * Source:    computed; see `findOperatingPoint` and `settleReservoir`
 * Example:   settleAmplifier({ elements: [{ kind: 'supply', name: 'HT', plus: 'B+', minus: 'gnd', connection: 'full-wave', law: { kind: 'valve', perveance: 0.00321 }, winding: volts(280), sourceResistance: ohms(140), mains: hertz(50), reservoir: farads(32e-6) }, { kind: 'resistor', name: 'R1', from: 'B+', to: 'gnd', resistance: ohms(3980.5) }] }) → { nodes: { 'B+': 326.346 }, branches: { R1: 0.0819861 } }
 */
export function settleAmplifier(netlist: Netlist): Result<AmplifierPoint> {
  const elements = checkElements(netlist);
  if (!elements.ok) return elements;
  const supplies = netlist.elements.filter((element) => element.kind === 'supply');
  if (supplies.length === 0) {
    const point = findOperatingPoint(netlist);
    return point.ok ? found({ ...point.value, supplies: new Map() }) : point;
  }
  const assembled = assembleDirect({ ...netlist, elements: netlist.elements.map(asSource) });
  if (!assembled.ok) return assembled;
  const system = assembled.value;
  const sources: Source[] = [];
  for (const supply of supplies) {
    const row = system.sourceRows.get(supply.name);
    if (row === undefined) return refused(`floating node: ${supply.plus}`);
    sources.push({ supply, row, current: 0 });
  }

  let settled = settle(system, undefined);
  let iterations = 0;
  for (let round = 0; settled.ok; round++) {
    iterations += settled.value.iterations;
    const { x } = settled.value;
    const drawn = sources.map(({ row }) => -(x[row] ?? 0));
    const isSettled =
      round > 0 &&
      sources.every(({ current }, i) => {
        if ((drawn[i] ?? 0) < -NO_LOAD) return false;
        const change = Math.abs(Math.max(drawn[i] ?? 0, NO_LOAD) - current);
        return change <= SAME_CURRENT * Math.max(Math.abs(current), 1e-3);
      });
    if (isSettled) {
      return finish(system, sources, { ...settled.value, iterations });
    }
    if (drawn.some((current) => !(Math.abs(current) < LARGEST_CURRENT))) return refused('out of range');
    // A first guess may stand below what another supply feeds in; what still does so later is truly fed.
    const fed = sources.find((_, i) => (drawn[i] ?? 0) < -NO_LOAD);
    if (fed !== undefined && round >= PATIENCE) return refused(`${fed.supply.name}: fed backwards`);
    if (round === MOST_ROUNDS) break;
    for (const [i, source] of sources.entries()) {
      const tangent = drawTangent(source.supply, drawn[i] ?? 0);
      if (!tangent.ok) return refused(`${source.supply.name}: ${tangent.reason}`);
      source.current = tangent.value.current;
      // Asked again and again for more than it has, it is not a first guess that is too high.
      if (round >= PATIENCE && source.current < (drawn[i] ?? 0) / 2) {
        return refused(`${source.supply.name}: overloaded`);
      }
      const { order, linear } = system;
      linear[source.row * (order + 1) + order] = tangent.value.open;
      linear[source.row * (order + 1) + source.row] = -tangent.value.resistance;
    }
    settled = settle(system, x);
  }
  if (!settled.ok) return settled;
  return refused(`${sources.map(({ supply }) => supply.name).join(', ')}: supply and load do not settle`);
}

interface Source {
  readonly supply: Supply;
  /** Of its law among the equations, which is also the unknown of its current. */
  readonly row: number;
  current: number;
}

/** To begin with, every supply is its winding's volts times 1.25, as stiff as can be. */
function asSource(element: Element): Element {
  if (element.kind !== 'supply') return element;
  const { name, plus, minus, winding } = element;
  return { kind: 'voltage-source', name, plus, minus, voltage: volts(1.25 * winding) };
}

interface Tangent {
  /** Where the curve was touched; less than asked where the supply cannot give that much. */
  readonly current: number;
  readonly open: number;
  readonly resistance: number;
}

/** The supply's curve about a current: V = open − resistance · I. */
function drawTangent(supply: Supply, wanted: number): Result<Tangent> {
  let current = Math.max(wanted, NO_LOAD);
  for (let halving = 0; halving < 30; halving++) {
    const here = settleReservoir(supply, { kind: 'current', current: amperes(current) });
    const beside = here.ok
      ? settleReservoir(supply, { kind: 'current', current: amperes(current * 1.01) })
      : here;
    if (here.ok && beside.ok) {
      const resistance = Math.max(0, (here.value.mean - beside.value.mean) / (current * 0.01));
      return found({ current, resistance, open: here.value.mean + resistance * current });
    }
    // More than the supply can give: it is touched where it still stands, and the circuit is asked again.
    if (!here.ok && halving === 29) return here;
    current /= 2;
  }
  return refused('overloaded');
}

function finish(
  system: DirectSystem,
  sources: readonly Source[],
  settled: Parameters<typeof describe>[1],
): Result<AmplifierPoint> {
  const supplies = new Map<string, SupplyPoint>();
  for (const { supply, row, current } of sources) {
    const reservoir = settleReservoir(supply, { kind: 'current', current: amperes(current) });
    if (!reservoir.ok) return refused(`${supply.name}: ${reservoir.reason}`);
    const resistance = -(system.linear[row * (system.order + 1) + row] ?? 0);
    supplies.set(supply.name, { reservoir: reservoir.value, outputResistance: ohms(resistance) });
  }
  const point = describe(system, settled);
  return point.ok ? found({ ...point.value, supplies }) : point;
}
