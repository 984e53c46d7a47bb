/** Owns what can be seen at a node: its electrodes, its parts, their other ends. Roles are told and figures are made by looking there. */
import type { Circuit, FittedPart } from './model.ts';
import { isBiasNode, isSupplyRail } from './points.ts';

export type Parts = ReadonlyMap<string, FittedPart>;

/** What can be seen at a node. */
export interface Look {
  readonly parts: Parts;
  readonly circuit: Circuit;
  /** Refs of valves with this electrode at the node; rectifiers are not among them. */
  readonly at: (node: string | undefined, electrode: 'a' | 'g' | 'g2' | 'k') => readonly string[];
  /** The two end nodes of a two-terminal part; undefined where one is not said. */
  readonly ends: (part: FittedPart) => readonly [string, string] | undefined;
  readonly partsAt: (node: string) => readonly FittedPart[];
  /** Nodes that something rectifies onto. */
  readonly rectified: ReadonlySet<string>;
  /** The first of the supply rails by name. */
  readonly firstRail: string | undefined;
}

export function lookAt(parts: Parts, circuit: Circuit): Look {
  const rectified = new Set<string>();
  for (const part of parts.values()) {
    if (!isRectifier(part)) continue;
    const node = rectifierEnds(part, parts).cathode;
    if (node !== undefined && node !== 'gnd') rectified.add(node);
  }
  const seen = new Map<string, Map<string, string[]>>();
  const around = new Map<string, readonly FittedPart[]>();
  const electrodesAt = (node: string): ReadonlyMap<string, readonly string[]> => {
    const known = seen.get(node);
    if (known !== undefined) return known;
    const found = new Map<string, string[]>();
    for (const { ref, terminal } of circuit.attached(node)) {
      const part = parts.get(ref);
      const isValve = part === undefined ? /^V\d/.test(ref) : part.class === 'valve' && !isRectifier(part);
      if (!isValve) continue;
      const list = found.get(terminal);
      if (list === undefined) found.set(terminal, [ref]);
      else list.push(ref);
    }
    seen.set(node, found);
    return found;
  };
  return {
    parts,
    circuit,
    rectified,
    at: (node, electrode) => (node === undefined ? [] : (electrodesAt(node).get(electrode) ?? [])),
    ends: endsOf,
    partsAt: (node) => {
      const known = around.get(node);
      if (known !== undefined) return known;
      const found = new Set<FittedPart>();
      for (const { ref } of circuit.attached(node)) {
        const part = parts.get(ref);
        if (part !== undefined) found.add(part);
      }
      const list = [...found];
      around.set(node, list);
      return list;
    },
    firstRail: circuit.nodes.find(isSupplyRail),
  };
}

export function isRectifier(part: FittedPart): boolean {
  return part.class === 'diode' || part.type?.valve?.kind === 'rectifier';
}

/** What a rectifier stands between: a valve or diode by itself, a diode in series with others as the whole string. */
export function rectifierEnds(
  part: FittedPart,
  parts: Parts,
): { readonly anodes: readonly string[]; readonly cathode: string | undefined } {
  const together = (part.string ?? [part.ref]).flatMap((ref) => parts.get(ref) ?? []);
  const at = (terminal: string): readonly string[] =>
    together.flatMap((each) => each.terminals.get(terminal) ?? []);
  const anodes = [...at('a'), ...at('a1'), ...at('a2')];
  const cathodes = at('k');
  if (part.string === undefined) return { anodes, cathode: cathodes[0] };
  return {
    anodes: anodes.filter((node) => !cathodes.includes(node)),
    cathode: cathodes.find((node) => !anodes.includes(node)),
  };
}

/** End nodes of a two-terminal part, or of a pot's track. */
export function endsOf(part: FittedPart): readonly [string, string] | undefined {
  const [first, second] =
    part.class === 'diode' ? ['a', 'k'] : part.class === 'potentiometer' ? ['3', '1'] : ['1', '2'];
  const one = part.terminals.get(first ?? '');
  const two = part.terminals.get(second ?? '');
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
  if (ends === undefined) return undefined;
  return ends[0] === node ? ends[1] : ends[0];
}

/** An electrolytic's worth of capacitance from a node to ground. */
export function isDecoupled(node: string, look: Look): boolean {
  return look.partsAt(node).some((part) => {
    if (part.class !== 'capacitor' || otherEnd(part, node, look) !== 'gnd') return false;
    const farads = part.value?.quantity.value;
    return farads === undefined || farads >= 1e-6;
  });
}
