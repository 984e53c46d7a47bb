/** Owns what every family of networks is named with: what was found before it, what sits at a place, and which grids a place drives. */
import { isGround, type Look, otherEnd } from './look.ts';
import type { FittedPart, Network, RoleFound } from './model.ts';
import { findValueInUse } from './model.ts';
import { isRail } from './points.ts';

/** A capacitor that lets treble past a control is no larger [F]. */
export const LARGEST_BRIGHT = 5e-9;

export interface Found {
  readonly network: Network;
  readonly because: string;
  readonly confidence?: RoleFound['confidence'];
  readonly serves?: readonly string[];
}

export interface Naming {
  readonly look: Look;
  readonly roles: ReadonlyMap<string, RoleFound>;
  readonly name: (ref: string, found: Found) => void;
  readonly valves: readonly FittedPart[];
}

export const nodeAt = (part: FittedPart, terminal: string): string | undefined =>
  part.terminals.get(terminal);

export function partsAt({ look }: Naming, node: string | undefined): readonly FittedPart[] {
  return node === undefined || isGround(node) ? NONE : look.partsAt(node);
}

const NONE: readonly never[] = [];

/** Parts of one role that serve a valve, by what sits at its electrode. */
export function withRole(
  naming: Naming,
  node: string | undefined,
  role: RoleFound['role'],
): readonly FittedPart[] {
  const found: FittedPart[] = [];
  for (const part of partsAt(naming, node)) if (naming.roles.get(part.ref)?.role === role) found.push(part);
  return found;
}

/** Grids that a node drives: there, or behind their stoppers. */
export function gridsAt(naming: Naming, node: string | undefined): readonly string[] {
  if (node === undefined || isGround(node)) return NONE;
  const grids = new Set(naming.look.at(node, 'g'));
  for (const { ref } of naming.look.partsAt(node)) {
    const found = naming.roles.get(ref);
    if (found?.role === 'grid-stopper') for (const grid of found.serves) grids.add(grid);
  }
  return [...grids];
}

/** Grids that a node drives through its coupling capacitors or directly. */
export function gridsBehind(naming: Naming, node: string | undefined): readonly string[] {
  if (node === undefined || isRail(node)) return NONE;
  const grids = new Set(gridsAt(naming, node));
  for (const part of partsAt(naming, node)) {
    if (part.class !== 'capacitor') continue;
    for (const grid of gridsAt(naming, otherEnd(part, node, naming.look))) grids.add(grid);
  }
  return [...grids];
}

export const ohms = (part: FittedPart | undefined): number | undefined => {
  const known = part && findValueInUse(part)?.quantity;
  return known?.unit === 'Ohm' ? known.value : undefined;
};
export const farads = (part: FittedPart): number | undefined => {
  const known = findValueInUse(part)?.quantity;
  return known?.unit === 'F' ? known.value : undefined;
};

export function isBright(part: FittedPart): boolean {
  const value = part.class === 'capacitor' ? farads(part) : undefined;
  return value !== undefined && value <= LARGEST_BRIGHT;
}
