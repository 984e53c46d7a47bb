/** Owns what stands at the output of a valve rectifier: the node it feeds, its reservoir, its winding, and the current drawn from it. */
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import type { Valve } from '../catalogue/valve.ts';
import { seriesCapacitance } from '../electronics/series-capacitors.ts';
import { farads } from '../units/si.ts';
import { findColdSupply } from './cold-supply.ts';
import { findFigure } from './figure-of.ts';
import type { RuleContext } from './rule.ts';

/** The valve rectifiers that feed one node together, all of one type. */
export interface ValveRectifier {
  readonly parts: readonly FittedPart[];
  readonly first: FittedPart;
  readonly valve: Valve;
  readonly limits: NonNullable<Valve['rectifier']>;
  readonly node: string;
}

/** By the roles of a view and its parts, which stay while only readings change: several rules ask for them. */
const rectifiersOf = new WeakMap<
  PhaseView['roles'],
  { readonly parts: PhaseView['parts']; readonly found: readonly ValveRectifier[] }
>();

/** Each node that valve rectifiers feed; nothing of a node that two types feed together. */
export function valveRectifiers({ roles, parts }: PhaseView): readonly ValveRectifier[] {
  const known = rectifiersOf.get(roles);
  if (known?.parts === parts) return known.found;
  const found = findValveRectifiers(roles, parts);
  rectifiersOf.set(roles, { parts, found });
  return found;
}

function findValveRectifiers(
  roles: PhaseView['roles'],
  fitted: PhaseView['parts'],
): readonly ValveRectifier[] {
  const byNode = new Map<string, FittedPart[]>();
  for (const part of fitted.values()) {
    if (part.class !== 'valve' && part.class !== 'diode') continue;
    const node = part.terminals.get('k');
    if (roles.get(part.ref)?.role !== 'rectifier' || node === undefined || node === 'gnd') continue;
    const list = byNode.get(node);
    if (list === undefined) byNode.set(node, [part]);
    else list.push(part);
  }
  const found: ValveRectifier[] = [];
  for (const [node, parts] of byNode) {
    const [first] = parts;
    const valve = first?.type?.valve;
    if (first === undefined || valve?.rectifier === undefined) continue;
    if (parts.some((part) => part.type?.valve !== valve)) continue;
    found.push({ parts, first, valve, limits: valve.rectifier, node });
  }
  return found;
}

/** Capacitance of everything that stands as reservoir on the node, strings taken as one; undefined where a value is missing. */
export function reservoirAt(
  view: PhaseView,
  node: string,
): { readonly parts: readonly FittedPart[]; readonly farads: number } | undefined {
  const counted = new Set<string>();
  const parts: FittedPart[] = [];
  let total = 0;
  for (const { ref } of view.circuit.attached(node)) {
    const part = view.parts.get(ref);
    if (part?.class !== 'capacitor' || view.roles.get(ref)?.role !== 'reservoir' || counted.has(ref))
      continue;
    const together = part.string ?? [ref];
    for (const each of together) counted.add(each);
    const values = together.map((each) => faradsOf(view.parts.get(each)));
    const known = values.filter((value) => value !== undefined);
    const string = seriesCapacitance(known.map(farads));
    if (known.length !== values.length || !string.ok) return undefined;
    total += string.value;
    parts.push(part);
  }
  return parts.length === 0 ? undefined : { parts, farads: total };
}

function faradsOf(part: FittedPart | undefined): number | undefined {
  const known = part && findValueInUse(part);
  return known?.quantity.unit === 'F' && known.quantity.value > 0 ? known.quantity.value : undefined;
}

/** Volts rms at each anode, where a transformer that feeds the node is written. */
export function windingVolts(context: RuleContext, view: PhaseView, node: string): number | undefined {
  return findColdSupply(context, view, node)?.inputs.find(({ symbol }) => symbol === 'Vrms')?.known.quantity
    .value;
}

export interface Drawn {
  readonly amperes: number;
  readonly low: number;
  /** What it is the sum of. */
  readonly from: readonly string[];
  /** Something is fed whose current is not known: it is at least this. */
  readonly isLeast: boolean;
}

/** The current that everything on the node draws together, as far as it is known; undefined where none is. */
export function currentDrawn(context: RuleContext, view: PhaseView, node: string): Drawn | undefined {
  let [amperes, low] = [0, 0];
  const from = new Set<string>();
  let isLeast = false;
  const take = (figure: 'current' | 'anode-current' | 'screen-current', subject: string): void => {
    const found = findFigure(context, view, figure, subject);
    if (found === undefined) {
      isLeast = true;
      return;
    }
    from.add(subject);
    amperes += found.quantity.value;
    low += found.low ?? found.quantity.value;
  };
  for (const { ref, terminal } of view.circuit.attached(node)) {
    const part = view.parts.get(ref);
    const role = view.roles.get(ref)?.role;
    if (part === undefined || part.class === 'capacitor' || role === 'rectifier') continue;
    if (role === 'output-transformer') {
      for (const valve of view.roles.get(ref)?.serves ?? []) take('anode-current', valve);
    } else if (part.class === 'valve') {
      if (terminal === 'a') take('anode-current', ref);
      else if (terminal === 'g2') take('screen-current', ref);
    } else if (part.class === 'resistor' || part.class === 'inductor') take('current', ref);
    // What stands behind a fuse or a switch is not followed.
    else if (part.class !== 'test-point') isLeast = true;
  }
  return from.size === 0 ? undefined : { amperes, low, from: [...from], isLeast };
}
