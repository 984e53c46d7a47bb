/** Owns what a coupling capacitor may meet at worst: the whole supply of the valve that drives it, and the bias at its other end. */
import { allInRole } from '../bench/by-class.ts';
import { type Figure, type FittedPart, findValueInUse, type PhaseView, type Source } from '../bench/model.ts';
import { isBiasNode } from '../bench/points.ts';
import { capacitorVoltage } from '../electronics/capacitor-margin.ts';
import { dividedVoltage } from '../electronics/divider.ts';
import { ask, noteAsked } from '../sheet/asking.ts';
import { ohms, volts } from '../units/si.ts';
import { findFigure } from './figure-of.ts';
import { assumptions } from './phrases.ts';
import type { RuleContext } from './rule.ts';
import { findVolts } from './voltages.ts';

/** Volts of a supply while nothing draws current. */
interface ColdSupply {
  readonly node: string;
  readonly volts: number;
  readonly low: number;
  /** `B+3 with all valves cold at high mains`, or the warm reading where no transformer is written. */
  readonly because: () => string;
  /** What must be told with it, as a sentence to add; empty where nothing. */
  readonly remark: () => string;
  readonly source: Source;
}

export interface CouplingWorst {
  readonly volts: number;
  readonly low: number;
  /** Negative volts at the far end, without their sign. */
  readonly bias: number;
  readonly because: () => string;
  readonly remark: () => string;
  readonly source: Source;
}

/** Made once a node: a rail has many parts on it, and each of them is asked for it. */
const coldAt = new WeakMap<PhaseView, Map<string, ReturnType<typeof noteAsked<Figure | undefined>>>>();

/** The unloaded supply at a node, as the capacitors on it meet it: its inputs are the winding, its rise and the mains. */
export function findColdSupply(context: RuleContext, view: PhaseView, node: string): Figure | undefined {
  let known = coldAt.get(view);
  if (known === undefined) {
    known = new Map();
    coldAt.set(view, known);
  }
  const before = known.get(node);
  if (before !== undefined) {
    for (const name of before.asked) ask(name);
    return before.result;
  }
  const made = noteAsked(() => {
    let found: Figure | undefined;
    for (const { ref } of view.circuit.attached(node))
      found ??= findFigure(context, view, 'cold-voltage', ref);
    return found;
  });
  known.set(node, made);
  return made.result;
}

/** The worst across a coupling capacitor; undefined where the supply of its driving anode is not known. */
export function worstOnCoupling(
  context: RuleContext,
  view: PhaseView,
  capacitor: FittedPart,
): CouplingWorst | undefined {
  const nodes = [...capacitor.terminals.values()];
  for (const anode of nodes) {
    const far = nodes.find((node) => node !== anode);
    const supply = supplyOfAnode(context, view, anode);
    if (far === undefined || supply === undefined) continue;
    const bias = biasAt(view, far);
    const across = (top: number): number => {
      const worst = capacitorVoltage({ oneEnd: volts(top), otherEnd: volts(-bias) });
      return worst.ok ? worst.value : top;
    };
    return { ...supply, volts: across(supply.volts), low: across(supply.low), bias };
  }
  return undefined;
}

/** What a cold or pulled valve leaves on its anode: the supply behind its load, less what a resistor to ground there divides off. */
function supplyOfAnode(context: RuleContext, view: PhaseView, anode: string): ColdSupply | undefined {
  for (const { ref } of view.circuit.attached(anode)) {
    const load = view.parts.get(ref);
    const role = view.roles.get(ref)?.role;
    if (load === undefined || (role !== 'anode-load' && role !== 'output-transformer')) continue;
    const node =
      role === 'anode-load'
        ? [...load.terminals.values()].find((each) => each !== anode)
        : (load.terminals.get('ct') ?? load.terminals.get('p2'));
    const supply = node === undefined || node === anode ? undefined : coldSupplyAt(context, view, node);
    if (supply === undefined) continue;
    const upper = role === 'anode-load' ? findValueInUse(load)?.quantity.value : undefined;
    const lower = resistorToGround(view, anode);
    if (upper === undefined || lower === undefined) return supply;
    const divide = (top: number): number => {
      const part = dividedVoltage({ top: volts(top), upper: ohms(upper), lower: ohms(lower.ohms) });
      return part.ok ? part.value : top;
    };
    return {
      ...supply,
      volts: divide(supply.volts),
      low: divide(supply.low),
      because: () => `${supply.because()}, divided by ${ref} and ${lower.ref}`,
    };
  }
  return undefined;
}

function coldSupplyAt(context: RuleContext, view: PhaseView, node: string): ColdSupply | undefined {
  const cold = findColdSupply(context, view, node);
  if (cold !== undefined) {
    const { value } = cold.quantity;
    return {
      node,
      volts: value,
      low: cold.low ?? value,
      because: () => `${node} with all valves cold at high mains`,
      remark: () => assumptions(cold),
      source: cold.source,
    };
  }
  const reading = findVolts(view, node);
  if (reading === undefined || !(reading.value.quantity.value > 0)) return undefined;
  const { value } = reading.value.quantity;
  return {
    node,
    volts: value,
    low: value,
    because: () => `${node} as read warm`,
    remark: () => ' Cold it stands higher still; no transformer is written to say how much.',
    source: reading.source,
  };
}

function resistorToGround(
  view: PhaseView,
  node: string,
): { readonly ref: string; readonly ohms: number } | undefined {
  for (const { ref } of view.circuit.attached(node)) {
    const part = view.parts.get(ref);
    const value = part?.class === 'resistor' ? findValueInUse(part)?.quantity.value : undefined;
    if (value !== undefined && value > 0 && [...(part?.terminals.values() ?? [])].includes('gnd'))
      return { ref, ohms: value };
  }
  return undefined;
}

/** The bias supply behind the leak at a node, or read at the node itself; 0 where nothing pulls it below ground. */
function biasAt(view: PhaseView, node: string): number {
  let lowest = findVolts(view, node)?.value.quantity.value ?? 0;
  for (const { ref } of view.circuit.attached(node)) {
    if (view.roles.get(ref)?.role !== 'grid-leak') continue;
    for (const end of view.parts.get(ref)?.terminals.values() ?? [])
      if (isBiasNode(end)) lowest = Math.min(lowest, findVolts(view, end)?.value.quantity.value ?? 0);
  }
  return Math.max(0, -lowest);
}

/** Whether the supply rises only as its own valve warms up. */
export function hasSlowRectifier(view: PhaseView): boolean {
  return allInRole(view, 'rectifier').some(
    ({ ref }) => view.parts.get(ref)?.type?.valve?.rectifier?.heating === 'indirect',
  );
}

/** A capacitor of less than this couples or damps; it is no part of a reservoir. */
const RESERVOIR_FARADS = 1e-6;

/** Whether the capacitor shares its supply with others in series, said so or wired so. */
export function isInString(view: PhaseView, capacitor: FittedPart): boolean {
  if (capacitor.string !== undefined) return true;
  for (const node of capacitor.terminals.values()) {
    if (node === 'gnd') continue;
    for (const { ref } of view.circuit.attached(node)) {
      const other = view.parts.get(ref);
      if (ref === capacitor.ref || other?.class !== 'capacitor') continue;
      const isLarge = (other.value?.quantity.value ?? 0) >= RESERVOIR_FARADS;
      if (isLarge && ![...other.terminals.values()].includes('gnd')) return true;
    }
  }
  return false;
}
