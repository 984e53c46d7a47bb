/** Owns the naming of phase splitters: a cathodyne, a long-tailed pair, a paraphase. */
import { isGround, otherEnd } from './look.ts';
import type { FittedPart } from './model.ts';
import {
  type Found,
  farads,
  gridsBehind,
  LARGEST_BRIGHT,
  type Naming,
  nodeAt,
  ohms,
  partsAt,
  withRole,
} from './network-naming.ts';
import { isRail } from './points.ts';

/** Two resistors that are meant to be equal are within this of each other. */
const EQUAL = 0.2;
/** A resistor to ground no larger holds a node still for signals [Ω]. */
const LOW_OHMS = 10_000;

/** One signal made into two of opposite phase. */
export function nameSplitters(naming: Naming): void {
  const { look, name, valves } = naming;
  const told = new Set<string>();
  for (const valve of valves) {
    const [a, k] = [nodeAt(valve, 'a'), nodeAt(valve, 'k')];
    const [load] = withRole(naming, a, 'anode-load');
    if (a === undefined || k === undefined || load === undefined || told.has(valve.ref)) continue;
    const mates = look.at(k, 'k').filter((ref) => ref !== valve.ref);
    const [mate] = mates;
    const driven = gridsBehind(naming, a).filter((ref) => ref !== valve.ref);
    if (mate !== undefined && mates.length === 1 && !isGround(k)) {
      const other = look.parts.get(mate);
      const otherA = other && nodeAt(other, 'a');
      const [otherLoad] = withRole(naming, otherA, 'anode-load');
      const theirs = gridsBehind(naming, otherA).filter((ref) => ref !== mate);
      const isSplit = otherLoad !== undefined && driven.length > 0 && theirs.length > 0;
      // One that hears what the other sends on is a paraphase, cathode shared or not.
      if (
        isSplit &&
        !driven.includes(mate) &&
        !theirs.includes(valve.ref) &&
        !hearersOf(naming, valve).includes(mate)
      ) {
        told.add(mate);
        const because = `${valve.ref} and ${mate} share ${k} and drive ${driven.join(' ')} and ${theirs.join(' ')}`;
        const found: Found = { network: 'long-tail-pair', because, confidence: 'certain' };
        name(valve.ref, { ...found, serves: driven });
        name(mate, { ...found, serves: theirs });
        for (const part of [load, otherLoad]) name(part.ref, found);
        for (const part of partsAt(naming, k)) if (part.class === 'resistor') name(part.ref, found);
        for (const part of tailsBelow(naming, k)) name(part.ref, found);
        for (const ref of [valve.ref, mate]) nameGridReturn(naming, ref, found);
      }
    }
    if (told.has(valve.ref)) continue;
    const under = mates.length > 0 ? [] : [k, ...nodesUnder(naming, k)];
    const below = under.flatMap((node) => gridsBehind(naming, node)).filter((ref) => ref !== valve.ref);
    if (driven.length > 0 && below.some((ref) => !driven.includes(ref))) {
      const resistors = under
        .flatMap((node) => partsAt(naming, node))
        .filter((part) => part.class === 'resistor');
      const isEqual = resistors.some((part) => isNear(ohms(part), ohms(load)));
      const found: Found = {
        network: 'cathodyne',
        because: `its anode drives ${driven.join(' ')} and its cathode ${below.join(' ')}`,
        confidence: isEqual ? 'certain' : 'likely',
      };
      name(valve.ref, { ...found, serves: [...driven, ...below] });
      name(load.ref, found);
      for (const part of resistors)
        if (naming.roles.get(part.ref)?.role !== 'grid-leak') name(part.ref, found);
    }
    const [heard] = hearersOf(naming, valve);
    const follower = heard === undefined ? undefined : look.parts.get(heard);
    const followerA = follower && nodeAt(follower, 'a');
    const theirs = gridsBehind(naming, followerA).filter((ref) => ref !== valve.ref && ref !== follower?.ref);
    const mine = driven.filter((ref) => ref !== follower?.ref);
    if (follower !== undefined && mine.length > 0 && theirs.some((ref) => !mine.includes(ref))) {
      const because = `${follower.ref} hears a part of what ${valve.ref} sends on`;
      for (const part of [valve, follower, load, ...withRole(naming, followerA, 'anode-load')])
        name(part.ref, { network: 'paraphase', because });
    }
  }
}

/** Valves whose grid hangs by a resistor on the place that this one’s anode drives through a capacitor. */
function hearersOf(naming: Naming, valve: FittedPart): readonly string[] {
  const a = nodeAt(valve, 'a');
  if (a === undefined || isRail(a)) return [];
  return partsAt(naming, a).flatMap((part) => {
    const sent = part.class === 'capacitor' ? otherEnd(part, a, naming.look) : undefined;
    return partsAt(naming, sent).flatMap((resistor) => {
      if (resistor.class !== 'resistor' || sent === undefined) return [];
      return naming.look.at(otherEnd(resistor, sent, naming.look), 'g').filter((ref) => ref !== valve.ref);
    });
  });
}

function isNear(one: number | undefined, other: number | undefined): boolean {
  return one !== undefined && other !== undefined && Math.abs(one - other) <= EQUAL * Math.max(one, other);
}

/** Far ends of the resistors at a cathode, but for ground. */
function nodesUnder(naming: Naming, k: string): readonly string[] {
  return withRole(naming, k, 'cathode-resistor').flatMap((part) => {
    const far = otherEnd(part, k, naming.look);
    return far === undefined || isGround(far) || isRail(far) ? [] : [far];
  });
}

function tailsBelow(naming: Naming, k: string): readonly FittedPart[] {
  return nodesUnder(naming, k).flatMap((node) => withRole(naming, node, 'tail'));
}

/** The capacitor that holds one grid of a pair still for signals: to ground, or to the place where feedback comes in. */
function nameGridReturn(naming: Naming, valve: string, pair: Found): void {
  const g = naming.look.parts.get(valve)?.terminals.get('g');
  for (const part of partsAt(naming, g)) {
    if (part.class !== 'capacitor' || naming.roles.get(part.ref)?.role !== 'unknown') continue;
    const far = otherEnd(part, g ?? '', naming.look);
    const isSmall = (farads(part) ?? 0) < LARGEST_BRIGHT;
    if (far === undefined || isSmall || !isStill(naming, far)) continue;
    const because = `it holds ${g} at ${far} for signals`;
    naming.name(part.ref, { network: 'grid-return', because, confidence: pair.confidence, serves: [valve] });
  }
}

function isStill(naming: Naming, node: string): boolean {
  if (isGround(node) || isRail(node)) return true;
  return partsAt(naming, node).some(
    (part) =>
      part.class === 'resistor' &&
      otherEnd(part, node, naming.look) === 'gnd' &&
      (ohms(part) ?? Number.POSITIVE_INFINITY) <= LOW_OHMS,
  );
}
