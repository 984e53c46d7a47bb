/**
 * Owns trials: one phase's circuit as its parts are marked, solved again and again with something in it other than it should
 * be. Rails that nothing but the mains feeds stand where they were read.
 */
import type { Result } from '../electronics/result.ts';
import { settleAmplifier } from '../electronics/solver/amplifier.ts';
import { assembleDirect } from '../electronics/solver/direct-system.ts';
import type { Element } from '../electronics/solver/netlist.ts';
import { describe, type OperatingPoint, settle } from '../electronics/solver/operating-point.ts';
import { type Amperes, amperes, ohms } from '../units/si.ts';
import { divideCircuit, elementsOf, FOOTINGS, type Piece, readVolts } from './circuit-components.ts';
import { readDirectCircuit, scaledModel } from './circuit-netlist.ts';
import { readSupplies } from './circuit-supplies.ts';
import { sheetsOf } from './derive/mains.ts';
import { readSet } from './derive/set-readings.ts';
import { type Look, lookAt } from './look.ts';
import type { Amplifier, BenchReading, FittedPart, PhaseView } from './model.ts';

/** What is other than marked. Conductors and valves go by the names that the circuit has for them. */
export interface Departure {
  readonly ohms?: ReadonlyMap<string, number>;
  /** A valve's current over an average one's. */
  readonly shares?: ReadonlyMap<string, number>;
  /** Its amplification factor over what its model has. */
  readonly factors?: ReadonlyMap<string, number>;
  /** Its screen current over an average one's. */
  readonly screens?: ReadonlyMap<string, number>;
  /** Insulation that is not there: between two nodes [Ω]. */
  readonly leak?: { readonly from: string; readonly to: string; readonly ohms: number };
  /** Current that gas drives out of a grid. */
  readonly gas?: { readonly grid: string; readonly current: Amperes };
  /** Every source as read, times this. */
  readonly sources?: number;
  /** Bias sources stand here instead of where they were read [V]. */
  readonly bias?: ReadonlyMap<string, number>;
}

/** Volts at nodes, and what each valve passes. */
export interface Trial {
  readonly volts: (node: string) => number | undefined;
  readonly cathodeCurrent: (valve: string) => number | undefined;
}

interface PieceTrial extends Trial {
  readonly nodes: ReadonlyMap<string, number>;
}

export interface TrialCircuit {
  readonly view: PhaseView;
  readonly look: Look;
  readonly pieces: readonly Piece[];
  /** Nodes that a trial finds; those that were held are not among them. */
  readonly nodes: ReadonlySet<string>;
  readonly held: ReadonlyMap<string, number>;
  /** Undefined where it does not settle. */
  readonly solve: (departure: Departure) => Trial | undefined;
}

/** Undefined where no part of the circuit can be solved from what is written and read. */
export function openTrials(
  written: PhaseView,
  amplifier: Amplifier,
  readings: readonly BenchReading[],
): TrialCircuit | undefined {
  const view = asMarked(written);
  const look = lookAt(view.parts, view.circuit);
  const circuit = readDirectCircuit(view, look);
  if (circuit.valves.length === 0) return undefined;
  const supplies = readSupplies(view, look, sheetsOf(amplifier));
  const read = readSet(readings);
  const divisions = [FOOTINGS[1], FOOTINGS[2], FOOTINGS[0]].map((footing) =>
    footing === undefined ? [] : divideCircuit(circuit, supplies, read, view, look, footing).pieces,
  );
  const pieces = divisions.find((each) => each.some(({ valves }) => valves.length > 0));
  if (pieces === undefined) return undefined;
  const nodes = new Set(pieces.flatMap((piece) => piece.nodes));
  const held = new Map(
    pieces.flatMap(({ sources }) =>
      sources.map(({ node, reading }) => [node, reading.known.quantity.value] as const),
    ),
  );
  for (const node of held.keys()) nodes.delete(node);
  const marked = new Map<Piece, PieceTrial>();
  const solve = (piece: Piece, departure: Departure): Trial | undefined => {
    const isWritten = pieces.includes(piece);
    const known = isWritten ? (marked.get(piece) ?? solvePiece(piece, {})) : undefined;
    if (known !== undefined) marked.set(piece, known);
    return !isWritten || isTouching(piece, departure) ? solvePiece(piece, departure, known?.nodes) : known;
  };
  return {
    view,
    look,
    pieces,
    nodes,
    held,
    solve: (departure) => {
      const trials: Trial[] = [];
      for (const piece of joinedBy(departure, pieces)) {
        const trial = solve(piece, departure);
        if (trial === undefined) return undefined;
        trials.push(trial);
      }
      const first = <T>(pick: (trial: Trial) => T | undefined): T | undefined => {
        for (const trial of trials) {
          const value = pick(trial);
          if (value !== undefined) return value;
        }
        return undefined;
      };
      return {
        volts: (node) => (node === 'gnd' ? 0 : first((trial) => trial.volts(node))),
        cathodeCurrent: (valve) => first((trial) => trial.cathodeCurrent(valve)),
      };
    },
  };
}

/** What was read of a part itself is a finding to explain, and no part of the circuit; where a control stands is. */
function asMarked(view: PhaseView): PhaseView {
  const parts = new Map<string, FittedPart>();
  for (const [ref, part] of view.parts) {
    const isKept = ({ quantity }: BenchReading): boolean =>
      quantity === 'setting' || quantity === 'arms' || quantity === 'halves';
    const kept = part.measured.filter((each) => isKept(each) || part.class.startsWith('transformer'));
    parts.set(ref, kept.length === part.measured.length ? part : { ...part, measured: kept });
  }
  return { ...view, parts };
}

/** A leak makes one of the two pieces that it lies between. */
function joinedBy({ leak }: Departure, pieces: readonly Piece[]): readonly Piece[] {
  if (leak === undefined) return pieces;
  const [one, other] = [leak.from, leak.to].map((node) => pieces.find(({ nodes }) => nodes.includes(node)));
  if (one === undefined || other === undefined || one === other) return pieces;
  const sources = new Map([...one.sources, ...other.sources].map((source) => [source.node, source]));
  const joined: Piece = {
    conductors: [...one.conductors, ...other.conductors],
    valves: [...one.valves, ...other.valves],
    supplies: [...one.supplies, ...other.supplies],
    sources: [...sources.values()],
    nodes: [...one.nodes, ...other.nodes],
    missing: [...one.missing, ...other.missing],
  };
  return [...pieces.filter((each) => each !== one && each !== other), joined];
}

function isTouching(piece: Piece, departure: Departure): boolean {
  const { ohms: resistances, shares, factors, screens, leak, gas, sources, bias } = departure;
  if (sources !== undefined) return true;
  if (piece.conductors.some(({ name }) => resistances?.has(name) === true)) return true;
  if (piece.valves.some(({ ref }) => [shares, factors, screens].some((each) => each?.has(ref) === true)))
    return true;
  const own = new Set(piece.nodes);
  if (leak !== undefined && (own.has(leak.from) || own.has(leak.to))) return true;
  if (gas !== undefined && own.has(gas.grid)) return true;
  return bias !== undefined && piece.sources.some(({ node }) => bias.has(node));
}

function solvePiece(
  piece: Piece,
  departure: Departure,
  near?: ReadonlyMap<string, number>,
): PieceTrial | undefined {
  const { ohms: resistances, shares, factors, screens, leak, gas, sources = 1, bias } = departure;
  const average = elementsOf(piece, 'usual', {
    model: (ref, model) => {
      const scaled = scaledModel(model, shares?.get(ref) ?? 1, factors?.get(ref) ?? 1);
      const more = screens?.get(ref);
      if (more === undefined || scaled.kind === 'triode') return scaled;
      const { screenShare } = scaled;
      return {
        ...scaled,
        screenShare: { ...screenShare, toAnodeCurrent: screenShare.toAnodeCurrent * more },
      };
    },
    volts: (source) => bias?.get(source.node) ?? readVolts(source) * sources,
  });
  if (average === undefined) return undefined;
  const elements = average.map((element): Element => {
    const other = element.kind === 'resistor' ? resistances?.get(element.name) : undefined;
    return other === undefined || element.kind !== 'resistor'
      ? element
      : { ...element, resistance: ohms(other) };
  });
  const own = new Set([...piece.nodes, ...piece.sources.map(({ node }) => node), 'gnd']);
  if (leak !== undefined && own.has(leak.from) && own.has(leak.to))
    elements.push({
      kind: 'resistor',
      name: 'leak',
      from: leak.from,
      to: leak.to,
      resistance: ohms(leak.ohms),
    });
  if (gas !== undefined && own.has(gas.grid))
    elements.push({
      kind: 'current-source',
      name: 'gas',
      from: 'gnd',
      to: gas.grid,
      current: amperes(gas.current),
    });
  const point = settleNear(elements, near);
  if (!point.ok) return undefined;
  const { nodes, valves } = point.value;
  return {
    volts: (node) => nodes.get(node),
    cathodeCurrent: (valve) => valves.get(`valve ${valve}`)?.cathodeCurrent,
    nodes,
  };
}

/** One part off, a circuit mostly rests near where it did: from there it settles in a few steps. */
function settleNear(
  elements: readonly Element[],
  near: ReadonlyMap<string, number> | undefined,
): Result<OperatingPoint> {
  const isFed = elements.some(({ kind }) => kind === 'supply');
  const system = near === undefined || isFed ? undefined : assembleDirect({ elements });
  if (near === undefined || system?.ok !== true) return settleAmplifier({ elements });
  const start = new Float64Array(system.value.order);
  for (const [name, at] of system.value.voltageOf)
    if (at !== undefined && at >= 0) start[at] = near.get(name) ?? 0;
  const settled = settle(system.value, start);
  const point = settled.ok ? describe(system.value, settled.value) : settled;
  return point.ok ? point : settleAmplifier({ elements });
}
