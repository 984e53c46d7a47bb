/**
 * Owns the equations of a circuit at direct current: a linear part assembled once, and the currents of valves and rectifiers
 * to be added at each trial point. Capacitors are open; chokes and windings are their resistance.
 */
import type { PentodeCurrent } from '../models/pentode.ts';
import { pentodeCurrentAndSlopes } from '../models/pentode.ts';
import { sigmoid, softplus } from '../models/softplus.ts';
import { triodeCurrentAndSlopes } from '../models/triode.ts';
import { found, type Result, refused } from '../result.ts';
import { checkElements, type Element, type Netlist, type Rectifier, type ValveElement } from './netlist.ts';
import type { RectifierLaw } from './rectifier-law.ts';
import { AT_GROUND, findFloating, numberNodes } from './topology.ts';

/** One current that a nonlinear element carries from one node to another, steered by voltages. Updated in place. */
export interface Flow {
  readonly from: number;
  readonly to: number;
  /** Unknowns on which it depends, and its slope by each. */
  readonly by: readonly number[];
  readonly slopes: Float64Array;
  current: number;
}

export interface NonlinearStamp {
  readonly element: ValveElement | Rectifier;
  /** Anode current first, screen current second where there is a screen. */
  readonly flows: readonly Flow[];
  /** Brings currents and slopes to the point x. */
  readonly evaluate: (x: Float64Array) => void;
}

export interface DirectSystem {
  readonly order: number;
  /** Unknowns below this number are node voltages, the rest are branch currents. */
  readonly nodeCount: number;
  /** `order` rows of `order + 1` numbers; the last column is what the sources impose. */
  readonly linear: Float64Array;
  readonly stamps: readonly NonlinearStamp[];
  /** Index of each node's voltage; -1 for ground, undefined where only capacitors hold it. */
  readonly voltageOf: ReadonlyMap<string, number | undefined>;
  readonly undetermined: readonly string[];
  readonly unknowns: readonly string[];
  readonly branches: readonly { readonly name: string; readonly current: (x: Float64Array) => number }[];
  /** Row of each voltage source's own law, so that its voltage can be changed without assembling anew. */
  readonly sourceRows: ReadonlyMap<string, number>;
}

/** A rectifier valve's or a valve's insulation: keeps a cut-off electrode tied to something. 1 TΩ passes 0.3 nA at 300 V. */
const INSULATION = 1e-12;

/** How softly a silicon junction turns on: below its drop the current falls by e each 50 mV; above, 1 Ω. */
const SILICON_SOFTNESS = 0.05;
const SILICON_CONDUCTANCE = 1;

export function assembleDirect(netlist: Netlist): Result<DirectSystem> {
  const elements = checkElements(netlist);
  if (!elements.ok) return elements;
  const stranger = elements.value.find(({ kind }) => kind === 'supply' || kind === 'linear-valve');
  if (stranger !== undefined) return refused(`not for direct current: ${stranger.name}`);
  const nodes = numberNodes(netlist, joins);
  if (!nodes.ok) return nodes;
  const { numbers, names } = nodes.value;

  const links: [number, number][] = [];
  const steering = new Set<number>();
  const number = (node: string): number => numbers.get(node) ?? AT_GROUND;
  for (const element of elements.value) {
    linkEnds(element, (a, b) => links.push([number(a), number(b)]));
    for (const node of steeringNodes(element)) steering.add(number(node));
  }
  const floating = new Set(findFloating(nodes.value, links));
  for (const node of floating) {
    if (steering.has(node)) return refused(`floating node: ${names[node] ?? ''}`);
  }
  const kept = names.map((_, index) => index).filter((index) => !floating.has(index));
  const place = new Map(kept.map((index, position) => [index, position] as const));
  const at = (node: string): number => place.get(number(node)) ?? AT_GROUND;

  const unknowns = kept.map((index) => names[index] ?? '');
  const nodeCount = unknowns.length;
  const entries: [row: number, column: number, value: number][] = [];
  const sources: [row: number, value: number][] = [];
  const stamps: NonlinearStamp[] = [];
  const branches: { name: string; current: (x: Float64Array) => number }[] = [];
  const sourceRows = new Map<string, number>();
  const enter = (row: number, column: number, value: number): void => {
    if (row >= 0 && column >= 0) entries.push([row, column, value]);
  };
  const conduct = (name: string | undefined, from: number, to: number, conductance: number): void => {
    enter(from, from, conductance);
    enter(to, to, conductance);
    enter(from, to, -conductance);
    enter(to, from, -conductance);
    if (name !== undefined)
      branches.push({ name, current: (x) => conductance * (read(x, from) - read(x, to)) });
  };
  /** A current of its own, from one node through the element to the other: v(from) − v(to) − R·i = volts. */
  const addBranch = (name: string, from: number, to: number, resistance: number): number => {
    const current = unknowns.push(name) - 1;
    enter(from, current, 1);
    enter(to, current, -1);
    enter(current, from, 1);
    enter(current, to, -1);
    enter(current, current, -resistance);
    return current;
  };
  const wind = (name: string, start: string, end: string, resistance: number): void => {
    const [from, to] = [at(start), at(end)];
    if (floating.has(number(start))) return;
    if (resistance > 0) conduct(name, from, to, 1 / resistance);
    else {
      const current = addBranch(name, from, to, 0);
      branches.push({ name, current: (x) => read(x, current) });
    }
  };

  for (const element of elements.value) {
    switch (element.kind) {
      case 'resistor':
        if (element.resistance > 0 && !floating.has(number(element.from))) {
          conduct(element.name, at(element.from), at(element.to), 1 / element.resistance);
        }
        break;
      case 'inductor':
        wind(element.name, element.from, element.to, element.resistance ?? 0);
        break;
      case 'transformer':
        for (const [index, { start, end, resistance }] of element.windings.entries()) {
          wind(`${element.name}.${index + 1}`, start, end, resistance ?? 0);
        }
        break;
      case 'voltage-source': {
        if (floating.has(number(element.plus))) break;
        const current = addBranch(element.name, at(element.plus), at(element.minus), element.resistance ?? 0);
        sources.push([current, element.voltage]);
        sourceRows.set(element.name, current);
        branches.push({ name: element.name, current: (x) => -read(x, current) });
        break;
      }
      case 'current-source':
        sources.push([at(element.from), -element.current], [at(element.to), element.current]);
        branches.push({ name: element.name, current: () => element.current });
        break;
      case 'valve': {
        const [anode, cathode] = [at(element.anode), at(element.cathode)];
        conduct(undefined, anode, cathode, INSULATION);
        if (element.screen !== undefined) conduct(undefined, at(element.screen), cathode, INSULATION);
        stamps.push(valveStamp(element, at));
        break;
      }
      case 'rectifier':
        if (floating.has(number(element.anode))) break;
        conduct(undefined, at(element.anode), at(element.cathode), INSULATION);
        stamps.push(rectifierStamp(element, at(element.anode), at(element.cathode)));
        break;
    }
  }

  const order = unknowns.length;
  const width = order + 1;
  const linear = new Float64Array(order * width);
  for (const [row, column, value] of entries) {
    linear[row * width + column] = (linear[row * width + column] ?? 0) + value;
  }
  for (const [row, value] of sources) {
    if (row >= 0) linear[row * width + order] = (linear[row * width + order] ?? 0) + value;
  }
  const voltageOf = new Map<string, number | undefined>();
  for (const [name, index] of numbers) {
    voltageOf.set(name, index === AT_GROUND ? AT_GROUND : place.get(index));
  }
  const undetermined = [...voltageOf].filter(([, index]) => index === undefined).map(([name]) => name);
  return found({ order, nodeCount, linear, stamps, voltageOf, undetermined, unknowns, branches, sourceRows });
}

function joins(element: Element): readonly (readonly [string, string])[] {
  return element.kind === 'resistor' && element.resistance === 0 ? [[element.from, element.to]] : [];
}

/** Ties the nodes between which a direct current can flow. */
function linkEnds(element: Element, link: (a: string, b: string) => void): void {
  switch (element.kind) {
    case 'resistor':
    case 'inductor':
      link(element.from, element.to);
      break;
    case 'voltage-source':
      link(element.plus, element.minus);
      break;
    case 'transformer':
      for (const { start, end } of element.windings) link(start, end);
      break;
    case 'rectifier':
      link(element.anode, element.cathode);
      break;
    case 'valve':
      link(element.anode, element.cathode);
      if (element.screen !== undefined) link(element.screen, element.cathode);
      break;
  }
}

/** Nodes whose voltage the rest depends on, or into which a current is driven: left floating they spoil the answer. */
function steeringNodes(element: Element): readonly string[] {
  if (element.kind === 'valve') {
    const { anode, grid, cathode, screen } = element;
    return screen === undefined ? [anode, grid, cathode] : [anode, grid, cathode, screen];
  }
  return element.kind === 'current-source' ? [element.from, element.to] : [];
}

function valveStamp(element: ValveElement, at: (node: string) => number): NonlinearStamp {
  const anode = at(element.anode);
  const grid = at(element.grid);
  const cathode = at(element.cathode);
  const { model } = element;
  if (model.kind === 'triode') {
    const flow: Flow = {
      from: anode,
      to: cathode,
      by: [anode, grid, cathode],
      slopes: new Float64Array(3),
      current: 0,
    };
    const scratch = { anode: 0, byAnode: 0, byGrid: 0 };
    const evaluate = (x: Float64Array): void => {
      const vk = read(x, cathode);
      triodeCurrentAndSlopes(model.parameters, read(x, anode) - vk, read(x, grid) - vk, scratch);
      flow.current = scratch.anode;
      flow.slopes[0] = scratch.byAnode;
      flow.slopes[1] = scratch.byGrid;
      flow.slopes[2] = -scratch.byAnode - scratch.byGrid;
    };
    return { element, flows: [flow], evaluate };
  }
  const screen = at(element.screen ?? element.anode);
  const by = [anode, grid, screen, cathode];
  const toAnode: Flow = { from: anode, to: cathode, by, slopes: new Float64Array(4), current: 0 };
  const toScreen: Flow = { from: screen, to: cathode, by, slopes: new Float64Array(4), current: 0 };
  const scratch: PentodeCurrent = {
    anode: 0,
    byAnode: 0,
    byGrid: 0,
    byScreen: 0,
    screen: 0,
    screenByGrid: 0,
    screenByScreen: 0,
  };
  const evaluate = (x: Float64Array): void => {
    const vk = read(x, cathode);
    const [va, vg, vs] = [read(x, anode) - vk, read(x, grid) - vk, read(x, screen) - vk];
    pentodeCurrentAndSlopes(model.parameters, model.screenShare, va, vs, vg, scratch);
    toAnode.current = scratch.anode;
    toAnode.slopes[0] = scratch.byAnode;
    toAnode.slopes[1] = scratch.byGrid;
    toAnode.slopes[2] = scratch.byScreen;
    toAnode.slopes[3] = -scratch.byAnode - scratch.byGrid - scratch.byScreen;
    toScreen.current = scratch.screen;
    toScreen.slopes[1] = scratch.screenByGrid;
    toScreen.slopes[2] = scratch.screenByScreen;
    toScreen.slopes[3] = -scratch.screenByGrid - scratch.screenByScreen;
  };
  return { element, flows: [toAnode, toScreen], evaluate };
}

function rectifierStamp(element: Rectifier, anode: number, cathode: number): NonlinearStamp {
  const flow: Flow = {
    from: anode,
    to: cathode,
    by: [anode, cathode],
    slopes: new Float64Array(2),
    current: 0,
  };
  const evaluate = (x: Float64Array): void => {
    const drop = read(x, anode) - read(x, cathode);
    const [current, slope] = rectify(element.law, drop);
    flow.current = current;
    flow.slopes[0] = slope;
    flow.slopes[1] = -slope;
  };
  return { element, flows: [flow], evaluate };
}

/** Current and its slope at a forward voltage. */
function rectify(law: RectifierLaw, drop: number): readonly [current: number, slope: number] {
  if (law.kind === 'valve') {
    if (!(drop > 0)) return [0, 0];
    const root = Math.sqrt(drop);
    return [law.perveance * drop * root, 1.5 * law.perveance * root];
  }
  const z = (drop - law.drop) / SILICON_SOFTNESS;
  return [SILICON_CONDUCTANCE * SILICON_SOFTNESS * softplus(z), SILICON_CONDUCTANCE * sigmoid(z)];
}

function read(x: Float64Array, index: number): number {
  return index < 0 ? 0 : (x[index] ?? 0);
}
