/**
 * Owns the equations of a linear circuit for signals, by modified nodal analysis: one equation a node (currents out of it sum
 * to nothing), one a winding or choke (its voltage). All elements are at most linear in jω, so that the matrix at any
 * frequency is G + jω·B with both parts assembled once.
 */
import { found, type Result, refused } from '../result.ts';
import { checkElements, type Element, GROUND, type Netlist, type Port, type Transformer } from './netlist.ts';
import { AT_GROUND, findFloating, numberNodes } from './topology.ts';

/** What drives the circuit: one volt at a port by an ideal source, or one ampere into it. */
export interface Drive {
  readonly kind: 'voltage' | 'current';
  readonly port: Port;
}

/** One reactive element's part of B: value · rows · columnsᵀ. */
export interface Reactance {
  readonly name: string;
  readonly rows: readonly Entry[];
  readonly columns: readonly Entry[];
  readonly value: number;
}

type Entry = readonly [index: number, factor: number];

/** `order` rows of `order + 1` numbers; the last column belongs to the drive, whose value is 1. */
export interface LinearSystem {
  readonly order: number;
  readonly conductance: Float64Array;
  readonly susceptance: Float64Array;
  readonly reactances: readonly Reactance[];
  /** Index of each node's voltage among the unknowns; `order` for the driven node, -1 for ground. */
  readonly voltageOf: ReadonlyMap<string, number>;
  /** What each unknown is, to name one that nothing determines. */
  readonly unknowns: readonly string[];
}

/** Assembles the equations with all sources at rest: voltage sources shorted, current sources open. */
export function assemble(netlist: Netlist, drive: Drive): Result<LinearSystem> {
  const elements = checkElements(netlist);
  if (!elements.ok) return elements;
  const stranger = elements.value.find(({ kind }) => isNonlinear(kind));
  if (stranger !== undefined) return refused(`not linear: ${stranger.name}`);
  const nodes = numberNodes(netlist, joins);
  if (!nodes.ok) return nodes;
  const { numbers, names } = nodes.value;
  const ground = netlist.ground ?? GROUND;
  const plus = numbers.get(drive.port.plus);
  const minus = numbers.get(drive.port.minus ?? ground);
  if (plus === undefined) return refused(`no node named ${drive.port.plus}`);
  if (minus === undefined) return refused(`no node named ${drive.port.minus ?? ground}`);
  if (plus === minus) return refused(`${drive.port.plus} is shorted to ${drive.port.minus ?? ground}`);

  const links: [number, number][] = [];
  const link = (a: string, b: string): void => {
    links.push([numbers.get(a) ?? AT_GROUND, numbers.get(b) ?? AT_GROUND]);
  };
  for (const element of elements.value) linkEnds(element, link);
  if (drive.kind === 'voltage') links.push([plus, minus]);
  const floating = findFloating(nodes.value, links)[0];
  if (floating !== undefined) return refused(`floating node: ${names[floating] ?? ''}`);

  // A node driven against ground by an ideal source is known and needs no equation.
  const driven = drive.kind === 'voltage' && minus === AT_GROUND ? plus : undefined;
  const place = (number: number): number => {
    if (driven === undefined || number < driven) return number;
    return number === driven ? DRIVEN : number - 1;
  };
  const builder = startEquations(
    names.filter((_, number) => number !== driven),
    (node) => place(numbers.get(node) ?? AT_GROUND),
  );
  if (drive.kind === 'current') {
    builder.driveRow(place(plus), -1);
    builder.driveRow(place(minus), 1);
  } else if (driven === undefined) {
    const current = builder.addBranch('the driving source', drive.port.plus, drive.port.minus ?? ground, 0);
    builder.driveRow(current, -1);
  }
  for (const element of elements.value) stamp(element, builder);
  return found(builder.layOut(numbers.keys()));
}

/** Stands for the driven node while the number of unknowns is still growing. */
const DRIVEN = -2;

function isNonlinear(kind: Element['kind']): boolean {
  return kind === 'valve' || kind === 'rectifier' || kind === 'supply';
}

/** What is one node for signals: wires, and sources without resistance. */
function joins(element: Element): readonly (readonly [string, string])[] {
  if (element.kind === 'resistor' && element.resistance === 0) return [[element.from, element.to]];
  if (element.kind === 'voltage-source' && (element.resistance ?? 0) === 0) {
    return [[element.plus, element.minus]];
  }
  return [];
}

/** Ties the nodes between which a signal current can flow; a grid carries none. */
function linkEnds(element: Element, link: (a: string, b: string) => void): void {
  switch (element.kind) {
    case 'resistor':
    case 'inductor':
      link(element.from, element.to);
      break;
    case 'capacitor':
      if (element.capacitance > 0) link(element.from, element.to);
      break;
    case 'voltage-source':
      link(element.plus, element.minus);
      break;
    case 'transformer':
      for (const { start, end } of element.windings) link(start, end);
      break;
    case 'linear-valve':
      link(element.anode, element.cathode);
      if (element.screen !== undefined && element.screen.own > 0) link(element.screen.node, element.cathode);
      break;
  }
}

function stamp(element: Element, builder: Builder): void {
  switch (element.kind) {
    case 'resistor':
      if (element.resistance > 0) builder.conduct(element.from, element.to, 1 / element.resistance);
      break;
    case 'voltage-source': {
      const resistance = element.resistance ?? 0;
      if (resistance > 0) builder.conduct(element.plus, element.minus, 1 / resistance);
      break;
    }
    case 'capacitor': {
      if (element.capacitance === 0) break;
      const ends = [builder.end(element.from, 1), builder.end(element.to, -1)];
      builder.react({ name: element.name, rows: ends, columns: ends, value: element.capacitance });
      break;
    }
    case 'inductor': {
      const current = builder.addBranch(element.name, element.from, element.to, element.resistance ?? 0);
      if (element.inductance === 0) break;
      const own: Entry[] = [[current, 1]];
      builder.react({ name: element.name, rows: own, columns: own, value: -element.inductance });
      break;
    }
    case 'transformer':
      stampTransformer(element, builder);
      break;
    case 'linear-valve': {
      const { anode, grid, cathode, screen } = element;
      builder.conduct(anode, cathode, 1 / element.anodeResistance);
      builder.steer([anode, cathode], [grid, cathode], element.transconductance);
      if (screen === undefined) break;
      builder.steer([anode, cathode], [screen.node, cathode], screen.toAnode);
      builder.steer([screen.node, cathode], [grid, cathode], screen.fromGrid);
      builder.steer([screen.node, cathode], [screen.node, cathode], screen.own);
      break;
    }
  }
}

/** Each winding: v − R·i − turns·e = 0, e being volts a turn; and the ampere-turns sum to nothing, or to the magnetising current's. */
function stampTransformer(transformer: Transformer, builder: Builder): void {
  const voltsPerTurn = builder.addUnknown(`core of ${transformer.name}`);
  const ampereTurns: Entry[] = [];
  const first = transformer.windings[0]?.turns ?? 1;
  for (const [number, { start, end, turns, resistance }] of transformer.windings.entries()) {
    const current = builder.addBranch(`${transformer.name}.${number + 1}`, start, end, resistance ?? 0);
    builder.enter(current, voltsPerTurn, -turns / first);
    ampereTurns.push([current, turns / first]);
  }
  if (transformer.magnetising === undefined) {
    for (const [current, share] of ampereTurns) builder.enter(voltsPerTurn, current, share);
  } else {
    builder.enter(voltsPerTurn, voltsPerTurn, -1);
    builder.react({
      name: transformer.name,
      rows: [[voltsPerTurn, 1]],
      columns: ampereTurns,
      value: transformer.magnetising,
    });
  }
}

type Builder = ReturnType<typeof startEquations>;

/** Collects entries while the number of unknowns grows, to be laid out once. */
function startEquations(nodes: readonly string[], place: (node: string) => number) {
  const unknowns = [...nodes];
  const conductances: [row: number, column: number, value: number][] = [];
  const reactances: Reactance[] = [];

  const addUnknown = (name: string): number => unknowns.push(name) - 1;
  const end = (node: string, sign: number): Entry => [place(node), sign];
  const enter = (row: number, column: number, value: number): void => {
    conductances.push([row, column, value]);
  };

  /** A current of its own, flowing from `from` through the element to `to`: v(from) − v(to) − R·i = 0. */
  const addBranch = (name: string, from: string, to: string, resistance: number): number => {
    const current = addUnknown(name);
    for (const [node, sign] of [end(from, 1), end(to, -1)]) {
      enter(node, current, sign);
      enter(current, node, sign);
    }
    enter(current, current, -resistance);
    return current;
  };

  /** A current from `through[0]` to `through[1]` of g times the voltage between `by[0]` and `by[1]`. */
  const steer = (
    through: readonly [string, string],
    by: readonly [string, string],
    conductance: number,
  ): void => {
    for (const [row, rowSign] of [end(through[0], 1), end(through[1], -1)]) {
      for (const [column, sign] of [end(by[0], 1), end(by[1], -1)]) {
        enter(row, column, rowSign * sign * conductance);
      }
    }
  };

  return {
    addUnknown,
    addBranch,
    end,
    enter,
    steer,
    conduct: (from: string, to: string, conductance: number): void => {
      steer([from, to], [from, to], conductance);
    },
    react: (reactance: Reactance): void => {
      reactances.push(reactance);
    },
    /** The drive's share of one equation; ground and a driven node have none. */
    driveRow: (row: number, value: number): void => {
      if (row >= 0) enter(row, DRIVEN, value);
    },
    layOut: (names: Iterable<string>): LinearSystem =>
      layOut(unknowns, conductances, reactances, names, place),
  };
}

function layOut(
  unknowns: readonly string[],
  conductances: readonly (readonly [row: number, column: number, value: number])[],
  reactances: readonly Reactance[],
  nodes: Iterable<string>,
  place: (node: string) => number,
): LinearSystem {
  const order = unknowns.length;
  const width = order + 1;
  const conductance = new Float64Array(order * width);
  const susceptance = new Float64Array(order * width);
  const columnOf = (index: number): number => (index === DRIVEN ? order : index);
  const add = (matrix: Float64Array, row: number, column: number, value: number): void => {
    if (row < 0 || column < 0) return;
    matrix[row * width + column] = (matrix[row * width + column] ?? 0) + value;
  };
  for (const [row, column, value] of conductances) add(conductance, row, columnOf(column), value);
  const laidOut = reactances.map(({ name, rows, columns, value }) => {
    const own = rows.filter(([row]) => row >= 0);
    const across = columns
      .map(([column, sign]): Entry => [columnOf(column), sign])
      .filter(([column]) => column >= 0);
    for (const [row, rowSign] of own) {
      for (const [column, sign] of across) add(susceptance, row, column, rowSign * sign * value);
    }
    return { name, value, rows: own, columns: across };
  });
  const voltageOf = new Map<string, number>();
  for (const node of nodes) voltageOf.set(node, columnOf(place(node)));
  return { order, conductance, susceptance, reactances: laidOut, voltageOf, unknowns };
}
