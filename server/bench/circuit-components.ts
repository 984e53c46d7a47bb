/**
 * Owns the division of one phase's circuit into pieces that can be solved each by itself: between ground, supplies and
 * nodes that stand where they were read. A piece that something unknown could upset is left out, the others stay.
 */
import type { ValveModel } from '../electronics/models/model.ts';
import type { Element } from '../electronics/solver/netlist.ts';
import { volts } from '../units/si.ts';
import type { Conductor, DirectCircuit, Gap, PlacedValve } from './circuit-netlist.ts';
import { asElement, isSupplyRectifier } from './circuit-netlist.ts';
import type { PlacedSupply, Stiffness, Supplies } from './circuit-supplies.ts';
import { assumed } from './derive/figure.ts';
import type { SetReadings } from './derive/set-readings.ts';
import type { Look } from './look.ts';
import type { FigureInput, PhaseView } from './model.ts';
import { compareNames, isBiasNode, isRail, isSupplyRail } from './points.ts';

/** From where the direct current is taken to come: `supplies` as far as they can be solved, rails as read where they cannot. */
export type Footing = 'supplies' | 'first rail as read' | 'every rail as read';
export const FOOTINGS: readonly Footing[] = ['supplies', 'first rail as read', 'every rail as read'];

/** A node held where it was read. */
export interface ReadSource {
  readonly node: string;
  readonly reading: FigureInput;
}

export interface Piece {
  readonly conductors: readonly Conductor[];
  readonly valves: readonly PlacedValve[];
  readonly supplies: readonly PlacedSupply[];
  readonly sources: readonly ReadSource[];
  /** Nodes whose voltage is to be found, in natural order. */
  readonly nodes: readonly string[];
  /** Triodes that draw on its supply too, but of which too little is known. */
  readonly missing: readonly string[];
}

export interface Division {
  readonly pieces: readonly Piece[];
  /** Something was left out for want of data: another footing may reach it. */
  readonly isPartial: boolean;
}

export function divideCircuit(
  written: DirectCircuit,
  { supplies: all, unsolved }: Supplies,
  read: SetReadings | undefined,
  view: PhaseView,
  look: Look,
  footing: Footing,
): Division {
  const supplies = footing === 'supplies' ? all : [];
  const sources = findSources(written, supplies, read, view, look, footing);
  const held = new Set(['gnd', ...sources.keys()]);
  const circuit = { ...written, conductors: [...written.conductors, ...guessGrids(written, held)] };
  const gaps = [...circuit.gaps, ...feedsUnknown(circuit, supplies, all, unsolved, view, look, held)];
  const { idle, leaves } = findIdle(circuit, gaps, supplies, held);
  const conductors = [...circuit.conductors, ...[...idle].flatMap(currentless)];

  const groups = createGroups(held);
  for (const { from, to } of conductors) groups.join([from, to]);
  for (const valve of circuit.valves) groups.join([nameOf(valve), ...electrodesOf(valve)]);
  for (const supply of supplies) groups.join([supply.node]);

  const spoilt = new Set<string>();
  const spoil = (nodes: readonly string[]): void => {
    for (const node of nodes) if (!held.has(node)) spoilt.add(groups.rootOf(node));
  };
  for (const gap of gaps) if (!idle.has(gap)) spoil(gap.nodes);
  const isSaid = findConnected({ ...circuit, conductors }, supplies, held);
  for (const valve of circuit.valves) if (valve.model === undefined || !isSaid(valve)) spoil([nameOf(valve)]);

  const members = new Map<
    string,
    { conductors: Conductor[]; valves: PlacedValve[]; supplies: PlacedSupply[] }
  >();
  const groupAt = (nodes: readonly string[]) => {
    const free = nodes.find((node) => !held.has(node));
    if (free === undefined) return undefined;
    const root = groups.rootOf(free);
    const known = members.get(root) ?? { conductors: [], valves: [], supplies: [] };
    members.set(root, known);
    return known;
  };
  for (const each of conductors) groupAt([each.from, each.to])?.conductors.push(each);
  for (const each of circuit.valves) groupAt([nameOf(each)])?.valves.push(each);
  for (const each of supplies) groupAt([each.node])?.supplies.push(each);

  const left = [...members].filter(([root]) => spoilt.has(root)).flatMap(([, { valves }]) => valves);
  // An output valve that is left out draws on the supply all the same, and nobody knows how much.
  const isLoadKnown = left.every(isSmall);
  const pieces: Piece[] = [];
  let isPartial = left.length > 0;
  for (const [root, group] of members) {
    if (spoilt.has(root)) continue;
    const touched = new Set([
      ...group.conductors.flatMap(({ from, to }) => [from, to]),
      ...group.valves.flatMap(electrodesOf),
      ...group.supplies.map(({ node }) => node),
    ]);
    const own = [...touched].flatMap((node) => sources.get(node) ?? []);
    const isFed = group.supplies.some(({ isNegative }) => !isNegative);
    if (isFed && !isLoadKnown) isPartial = true;
    if (isFed && (!isLoadKnown || group.valves.length === 0)) continue;
    if (group.supplies.length === 0 && (own.length === 0 || !touched.has('gnd'))) continue;
    // A rail with nothing behind it yet is no rail without load: its stages are not written.
    const isTold = (node: string): boolean => !held.has(node) && !(leaves.has(node) && isFeeding(node, look));
    const nodes = [...touched].filter(isTold).sort(compareNames);
    pieces.push({ ...group, sources: own, nodes, missing: isFed ? left.map(({ ref }) => ref) : [] });
  }
  return { pieces, isPartial };
}

const nameOf = ({ ref }: PlacedValve): string => `valve ${ref}`;

/** A cathode resistor of a self-biased stage is no larger [Ω]; a tail or a follower's load is. */
const LARGEST_SELF_BIAS = 10_000;

/** The grid of a self-biased triode of which nobody said where it goes: as a rule, by a leak, to ground. */
function guessGrids(
  { conductors, gaps, valves }: DirectCircuit,
  held: ReadonlySet<string>,
): readonly Conductor[] {
  const isTied = (node: string): boolean =>
    held.has(node) ||
    conductors.some(({ from, to }) => from === node || to === node) ||
    gaps.some(({ nodes }) => nodes.includes(node));
  return valves.flatMap(({ ref, part, grid, cathode, model }) => {
    const others = valves.filter((each) => each.ref !== ref);
    const isLone = !others.some((each) => [each.anode, each.cathode, each.grid].includes(grid));
    const isShared = others.some((each) => each.cathode === cathode);
    const biases = conductors.filter(({ from, to }) => from === cathode || to === cathode);
    const [bias] = biases;
    if (model?.kind !== 'triode' || isTied(grid) || !isLone || isShared || biases.length !== 1 || !bias)
      return [];
    const isSelfBiased =
      [bias.from, bias.to].includes('gnd') && bias.resistance.quantity.value <= LARGEST_SELF_BIAS;
    if (!isSelfBiased) return [];
    const guess = `${grid} taken at ground, since nothing says where it goes`;
    const resistance = assumed(1e6, 'Ohm', guess);
    return [{ name: `${ref} grid`, ref: part.ref, from: grid, to: 'gnd', resistance, guess }];
  });
}

/** A triode takes a milliampere or two of a supply's hundred. */
function isSmall({ part }: PlacedValve): boolean {
  const kind = part.valveSection?.kind ?? part.type?.valve?.sections[0]?.kind;
  return kind === 'triode';
}

/** A resistor without a value that carries no current: any value does. */
function currentless({ ref, nodes: [from, to] }: Gap): readonly Conductor[] {
  if (!/^(?:R|VR|RV|P)\d/.test(ref) || from === undefined || to === undefined) return [];
  const resistance = assumed(1000, 'Ohm', `no current through ${ref}, so its value makes no difference`);
  return [{ name: `${ref} ${from} ${to}`, ref, from, to, resistance }];
}

function electrodesOf({ anode, grid, cathode, screen }: PlacedValve): readonly string[] {
  return screen === undefined ? [anode, grid, cathode] : [anode, grid, cathode, screen];
}

/** Rails, biases and lone electrodes that nothing written feeds but that were read. A rail once held feeds those behind it. */
function findSources(
  circuit: DirectCircuit,
  supplies: readonly PlacedSupply[],
  read: SetReadings | undefined,
  view: PhaseView,
  look: Look,
  footing: Footing,
): ReadonlyMap<string, ReadSource> {
  const sources = new Map<string, ReadSource>();
  if (read === undefined) return sources;
  const hold = (node: string): boolean => {
    const reading = read.voltsAt(node);
    if (reading !== undefined) sources.set(node, { node, reading });
    return reading !== undefined;
  };
  const fed = new Set<string>();
  const feed = (node: string): void => feedFrom(node, circuit, look, fed);
  for (const { node } of supplies) feed(node);
  const feeding = view.circuit.nodes.filter((node) => isFeeding(node, look)).sort(compareNames);
  for (const node of feeding) {
    const isWanted =
      footing === 'every rail as read' ? !supplies.some((each) => each.node === node) : !fed.has(node);
    if (isWanted && hold(node)) feed(node);
  }
  const electrodes = new Set(
    circuit.valves.flatMap(({ anode, grid, screen }) => [anode, grid, screen ?? grid]),
  );
  // What hangs on a rail that nobody read stands where it was read itself.
  for (const node of feeding) {
    if (fed.has(node)) continue;
    const behind = new Set<string>();
    feedFrom(node, circuit, look, behind);
    for (const each of behind)
      if (each !== node && electrodes.has(each) && !isFeeding(each, look)) hold(each);
  }
  const tied = new Set(circuit.conductors.flatMap(({ from, to }) => [from, to]));
  const cathodes = new Set(circuit.valves.map(({ cathode }) => cathode));
  const anodes = new Set(circuit.valves.map(({ anode }) => anode));
  const isLeading = findLeading(circuit, look);
  for (const { anode, grid, screen } of circuit.valves) {
    for (const node of [anode, grid, screen]) {
      if (node === undefined || node === 'gnd' || fed.has(node)) continue;
      if (tied.has(node) && (node === grid || isLeading(node))) continue;
      if (!cathodes.has(node) && (node === anode || !anodes.has(node))) hold(node);
    }
  }
  return sources;
}

/**
 * Whether what is written at a node leads anywhere: to ground, to something that feeds, to another electrode but a grid or a
 * screen. Two screens joined by their resistors are a place that nothing feeds.
 */
function findLeading({ conductors, valves }: DirectCircuit, look: Look): (node: string) => boolean {
  const passing = new Set(valves.flatMap(({ anode, cathode }) => [anode, cathode]));
  return (start) => {
    const seen = new Set([start]);
    for (const node of seen) {
      if (node === 'gnd' || isFeeding(node, look) || (node !== start && passing.has(node))) return true;
      for (const { from, to } of conductors) {
        if (from === node) seen.add(to);
        else if (to === node) seen.add(from);
      }
    }
    return false;
  };
}

/** A rail, a bias, or a node that something rectifies onto: it has a voltage because something feeds it. */
function isFeeding(node: string, look: Look): boolean {
  return (
    node !== 'gnd' && (isSupplyRail(node) || isRail(node) || isBiasNode(node) || look.rectified.has(node))
  );
}

/** What a fed node feeds in turn through resistors, chokes and the like; not through a valve's own nodes. */
function feedFrom(start: string, circuit: DirectCircuit, look: Look, fed: Set<string>): void {
  const open = [start];
  fed.add(start);
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    const isEnd =
      !isFeeding(node, look) && (['a', 'g', 'k'] as const).some((each) => look.at(node, each).length > 0);
    if (isEnd) continue;
    for (const { from, to } of circuit.conductors) {
      const next = from === node ? to : to === node ? from : undefined;
      if (next === undefined || next === 'gnd' || fed.has(next)) continue;
      fed.add(next);
      open.push(next);
    }
  }
}

/** Rails that nothing known feeds, and what the mains or an unsolved rectifier drives: no telling where they stand. */
function feedsUnknown(
  circuit: DirectCircuit,
  supplies: readonly PlacedSupply[],
  all: readonly PlacedSupply[],
  unsolved: readonly string[],
  view: PhaseView,
  look: Look,
  held: ReadonlySet<string>,
): readonly Gap[] {
  const fed = new Set<string>();
  for (const node of [...supplies.map((each) => each.node), ...held]) {
    if (node !== 'gnd') feedFrom(node, circuit, look, fed);
  }
  const unknown = new Set(view.circuit.nodes.filter((node) => isFeeding(node, look) && !fed.has(node)));
  const given = new Set(supplies.map((each) => each.node));
  for (const node of [...unsolved, ...all.map((each) => each.node)]) if (!given.has(node)) unknown.add(node);
  for (const part of view.parts.values()) {
    if (!isSupplyRectifier(part, view) || supplies.length > 0) continue;
    for (const node of part.terminals.values()) if (isFeeding(node, look)) unknown.add(node);
  }
  for (const node of ['mains', 'line', 'neutral']) unknown.add(node);
  return [...unknown]
    .filter((node) => !held.has(node))
    .map((node) => ({ ref: node, nature: 'active' as const, nodes: [node] }));
}

/**
 * Whether every electrode of a valve goes somewhere: one of which that is not said cannot be solved. Anode and screen must go
 * to something that feeds them, be it through the valve above.
 */
function findConnected(
  circuit: DirectCircuit,
  supplies: readonly PlacedSupply[],
  held: ReadonlySet<string>,
): (valve: PlacedValve) => boolean {
  const isHeld = new Set([...held, ...supplies.map(({ node }) => node)]);
  const tied = new Set(isHeld);
  for (const { from, to } of circuit.conductors) for (const node of [from, to]) tied.add(node);
  const anodes = new Set(circuit.valves.map(({ anode }) => anode));
  const cathodes = new Set(circuit.valves.map(({ cathode }) => cathode));
  // Over a rail below ground it is ground that feeds.
  const isGroundFeeding = [...isHeld].some((node) => /^B-/i.test(node));
  const fed = new Set([...isHeld].filter((node) => node !== 'gnd' || isGroundFeeding));
  for (const node of fed) {
    for (const { from, to } of circuit.conductors) {
      if (from === node && to !== 'gnd') fed.add(to);
      else if (to === node && from !== 'gnd') fed.add(from);
    }
    for (const { anode, cathode } of circuit.valves) if (anode === node) fed.add(cathode);
  }
  return ({ anode, grid, cathode, screen }) =>
    fed.has(anode) &&
    (screen === undefined || fed.has(screen)) &&
    (tied.has(anode) || cathodes.has(anode)) &&
    (tied.has(cathode) || anodes.has(cathode)) &&
    (tied.has(grid) || anodes.has(grid) || cathodes.has(grid)) &&
    (screen === undefined || tied.has(screen));
}

/** Gaps through which no current can flow since one side of them leads nowhere, and the nodes that lead nowhere. */
function findIdle(
  circuit: DirectCircuit,
  gaps: readonly Gap[],
  supplies: readonly PlacedSupply[],
  held: ReadonlySet<string>,
): { readonly idle: ReadonlySet<Gap>; readonly leaves: ReadonlySet<string> } {
  interface Edge {
    readonly ends: readonly string[];
    readonly gap?: Gap;
  }
  const edges: readonly Edge[] = [
    ...circuit.conductors.map(({ from, to }) => ({ ends: [from, to] })),
    ...gaps.filter(({ nature }) => nature === 'passive').map((gap) => ({ ends: gap.nodes, gap })),
  ];
  // A grid draws nothing, so a path that ends at one leads nowhere too.
  const kept = new Set([
    ...held,
    ...supplies.map(({ node }) => node),
    ...circuit.valves.flatMap(({ anode, cathode, screen }) => [anode, cathode, screen ?? cathode]),
    ...gaps.filter(({ nature }) => nature === 'active').flatMap(({ nodes }) => nodes),
  ]);
  const at = new Map<string, Set<Edge>>();
  for (const edge of edges) {
    for (const node of edge.ends) {
      const list = at.get(node) ?? new Set();
      list.add(edge);
      at.set(node, list);
    }
  }
  const idle = new Set<Gap>();
  const leaves = new Set<string>();
  const open = [...at.keys()];
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    const list = at.get(node);
    if (kept.has(node) || list === undefined || list.size !== 1) continue;
    leaves.add(node);
    for (const edge of list) {
      if (edge.gap !== undefined) idle.add(edge.gap);
      for (const end of edge.ends) {
        at.get(end)?.delete(edge);
        open.push(end);
      }
    }
  }
  return { idle, leaves };
}

/** Nodes joined into groups; a held node belongs to none. */
function createGroups(held: ReadonlySet<string>) {
  const parents = new Map<string, string>();
  const rootOf = (node: string): string => {
    let root = node;
    for (let up = parents.get(root); up !== undefined && up !== root; up = parents.get(root)) root = up;
    parents.set(node, root);
    return root;
  };
  const join = (nodes: readonly string[]): void => {
    const [first, ...rest] = nodes.filter((node) => !held.has(node));
    if (first === undefined) return;
    rootOf(first);
    for (const node of rest) {
      const [one, other] = [rootOf(first), rootOf(node)];
      if (one !== other) parents.set(other, one);
    }
  };
  return { join, rootOf };
}

/** What stands in a piece otherwise than average valves and its sources as read. */
export interface Otherwise {
  readonly model?: (ref: string, average: ValveModel) => ValveModel;
  readonly volts?: (source: ReadSource) => number;
}

/** A piece in the solver's form; undefined where a valve has no model. */
export function elementsOf(
  piece: Piece,
  stiffness: Stiffness,
  { model: modelOf = (_, average) => average, volts: voltsOf = readVolts }: Otherwise = {},
): Element[] | undefined {
  const elements: Element[] = piece.conductors.map(asElement);
  for (const { ref, anode, grid, cathode, screen, model } of piece.valves) {
    if (model === undefined) return undefined;
    elements.push({
      kind: 'valve',
      name: `valve ${ref}`,
      anode,
      grid,
      cathode,
      model: modelOf(ref, model),
      ...(screen !== undefined && { screen }),
    });
  }
  for (const supply of piece.supplies) elements.push(supply.element(stiffness));
  for (const source of piece.sources) {
    elements.push({
      kind: 'voltage-source',
      name: `source ${source.node}`,
      plus: source.node,
      minus: 'gnd',
      voltage: volts(voltsOf(source)),
    });
  }
  return elements;
}

export function readVolts({ reading }: ReadSource): number {
  return reading.known.quantity.value;
}
