/** Owns what can be seen at a node: its electrodes, its parts, their other ends. Roles are told and figures are made by looking there. */
import type { Circuit, FittedPart } from './model.ts';
import { compareNames, isBiasNode, isSupplyRail } from './points.ts';

export type Parts = ReadonlyMap<string, FittedPart>;

type Electrode = 'a' | 'g' | 'g2' | 'k';

/** What can be seen at a node. */
export interface Look {
  readonly parts: Parts;
  readonly circuit: Circuit;
  /** The parts in the order of their names. */
  readonly inOrder: readonly FittedPart[];
  /** Refs of valves with this electrode at the node; rectifiers are not among them. */
  readonly at: (node: string | undefined, electrode: Electrode) => readonly string[];
  /** The two end nodes of a two-terminal part; undefined where one is not said. */
  readonly ends: (part: FittedPart) => readonly [string, string] | undefined;
  readonly partsAt: (node: string) => readonly FittedPart[];
  /** Nodes that something rectifies onto. */
  readonly rectified: ReadonlySet<string>;
  /** The first of the supply rails by name. */
  readonly firstRail: string | undefined;
}

/** By the parts: many look at the same circuit, and find the same. */
const looks = new WeakMap<Parts, Look>();

export function lookAt(parts: Parts, circuit: Circuit): Look {
  const known = looks.get(parts);
  if (known?.circuit === circuit) return known;
  const look = lookAfresh(parts, circuit);
  looks.set(parts, look);
  return look;
}

/** What sits at one node. */
interface There {
  readonly electrodes: Readonly<Record<Electrode, readonly string[]>>;
  readonly parts: readonly FittedPart[];
}

const NOTHING: There = { electrodes: { a: [], g: [], g2: [], k: [] }, parts: [] };

function lookAfresh(parts: Parts, circuit: Circuit): Look {
  const rectified = new Set<string>();
  for (const part of parts.values()) {
    if (!isRectifier(part)) continue;
    const node = rectifierEnds(part, parts).cathode;
    if (node !== undefined && node !== 'gnd') rectified.add(node);
  }
  const seen = new Map<string, There>();
  const lookThere = (node: string): There => {
    const known = seen.get(node);
    if (known !== undefined) return known;
    const found = whatIsAt(node, parts, circuit);
    seen.set(node, found);
    return found;
  };
  return {
    parts,
    circuit,
    inOrder: [...parts.values()].sort((a, b) => compareNames(a.ref, b.ref)),
    rectified,
    at: (node, electrode) => (node === undefined ? NOTHING : lookThere(node)).electrodes[electrode],
    ends: endsOf,
    partsAt: (node) => lookThere(node).parts,
    firstRail: circuit.nodes.find(isSupplyRail),
  };
}

function whatIsAt(node: string, parts: Parts, circuit: Circuit): There {
  const attached = circuit.attached(node);
  if (attached.length === 0) return NOTHING;
  const electrodes: Record<Electrode, string[]> = { a: [], g: [], g2: [], k: [] };
  const found: FittedPart[] = [];
  for (const { ref, terminal } of attached) {
    const part = parts.get(ref);
    // What is attached stands in the order of refs, so that one with two ends here follows itself.
    if (part !== undefined && found.at(-1) !== part) found.push(part);
    if (terminal !== 'a' && terminal !== 'k' && terminal !== 'g' && terminal !== 'g2') continue;
    const isValve = part === undefined ? /^V\d/.test(ref) : part.class === 'valve' && !isRectifier(part);
    if (isValve) electrodes[terminal].push(ref);
  }
  return { electrodes, parts: found };
}

export function isRectifier(part: FittedPart): boolean {
  return part.class === 'diode' || part.type?.valve?.kind === 'rectifier';
}

/** What a rectifier stands between: a valve or diode by itself, a diode in series with others as the whole string. */
export function rectifierEnds(
  part: FittedPart,
  parts: Parts,
): { readonly anodes: readonly string[]; readonly cathode: string | undefined } {
  if (part.string === undefined) {
    const terminals = parts.get(part.ref)?.terminals;
    const own: string[] = [];
    for (const terminal of ANODES) {
      const node = terminals?.get(terminal);
      if (node !== undefined) own.push(node);
    }
    return { anodes: own, cathode: terminals?.get('k') };
  }
  const together = part.string.flatMap((ref) => parts.get(ref) ?? []);
  const at = (terminal: string): readonly string[] =>
    together.flatMap((each) => each.terminals.get(terminal) ?? []);
  const anodes = ANODES.flatMap(at);
  const cathodes = at('k');
  return {
    anodes: anodes.filter((node) => !cathodes.includes(node)),
    cathode: cathodes.find((node) => !anodes.includes(node)),
  };
}

const ANODES = ['a', 'a1', 'a2'] as const;

/** End nodes of a two-terminal part, or of a pot's track. */
export function endsOf({ class: of, terminals }: FittedPart): readonly [string, string] | undefined {
  const one = terminals.get(of === 'diode' ? 'a' : of === 'potentiometer' ? '3' : '1');
  const two = terminals.get(of === 'diode' ? 'k' : of === 'potentiometer' ? '1' : '2');
  // An end that only this part's own name stands for is not connected.
  if (one === undefined || two === undefined || one === two) return undefined;
  return [one, two];
}

/** Ends with the interesting one first: `pick` says which. */
export function oriented(
  part: FittedPart,
  look: Look,
  pick: (node: string) => boolean,
): readonly [string, string] | undefined {
  const ends = look.ends(part);
  if (ends === undefined) return undefined;
  const [one, two] = ends;
  if (pick(one)) return [one, two];
  return pick(two) ? [two, one] : undefined;
}

/** An anode with something between it and its supply; a follower's sits on the rail itself. */
export function isAnode(node: string, look: Look): boolean {
  return look.at(node, 'a').length > 0 && !isSupplyRail(node);
}

export const isGround = (node: string): boolean => node === 'gnd';

export const isReturn = (node: string): boolean => isGround(node) || isBiasNode(node);

export function otherEnd(part: FittedPart, node: string, look: Look): string | undefined {
  const ends = look.ends(part);
  return ends?.[0] === node ? ends[1] : ends?.[0];
}

/** An electrolytic's worth of capacitance from a node to ground. */
export function isDecoupled(node: string, look: Look): boolean {
  return look.partsAt(node).some((part) => {
    if (part.class !== 'capacitor' || otherEnd(part, node, look) !== 'gnd') return false;
    const farads = part.value?.quantity.value;
    return farads === undefined || farads >= 1e-6;
  });
}
