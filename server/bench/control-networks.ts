/** Owns the naming of what sets and shapes the sound between stages: volume controls, bright capacitors, treble cuts, tone networks. */
import { isGround, otherEnd } from './look.ts';
import type { FittedPart } from './model.ts';
import { type Found, farads, isBright, type Naming, nodeAt, partsAt, withRole } from './network-naming.ts';
import { isBiasNode, isRail, isSupplyRail } from './points.ts';

/** A capacitor that takes treble away is no larger [F]; a larger one decouples. */
const LARGEST_TREBLE_CUT = 0.05e-6;

/** A control whose wiper drives a grid and whose lower end is ground; with a small capacitor from its upper end to its wiper. */
export function nameVolumes(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    if (part.class !== 'potentiometer') continue;
    const [top, wiper, bottom] = [nodeAt(part, '3'), nodeAt(part, '2'), nodeAt(part, '1')];
    if (top === undefined || wiper === undefined || bottom === undefined) continue;
    if (naming.roles.get(part.ref)?.role !== 'grid-leak' || ![top, bottom].some(isGround)) continue;
    const live = isGround(bottom) ? top : bottom;
    if (live === wiper || isGround(live)) continue;
    name(part.ref, { network: 'volume', because: naming.roles.get(part.ref)?.because ?? '' });
    for (const first of partsAt(naming, live)) {
      const next = first === part ? undefined : otherEnd(first, live, look);
      if (next === wiper && isBright(first)) {
        name(first.ref, {
          network: 'bright',
          because: `from the top of ${part.ref} to its wiper`,
          confidence: 'certain',
          serves: [part.ref],
        });
        continue;
      }
      const follows = next === undefined || isGround(next) || isRail(next) ? [] : look.partsAt(next);
      const second = follows.find((each) => each !== first && otherEnd(each, next ?? '', look) === wiper);
      if (second === undefined || follows.length !== 2) continue;
      const both = [first, second];
      const isChain =
        both.some(isBright) && both.every(({ class: of }) => /^(?:capacitor|resistor|switch)$/.test(of));
      if (!isChain) continue;
      const because = `in series from the top of ${part.ref} to its wiper`;
      for (const each of both)
        name(each.ref, { network: 'bright', because, confidence: 'certain', serves: [part.ref] });
    }
  }
}

/** A small capacitor across a resistor between two stages lets treble past it. */
export function namePeakers(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    const ends = look.ends(part);
    if (ends === undefined || !isBright(part) || naming.roles.get(part.ref)?.role !== 'unknown') continue;
    const [one, two] = ends;
    const isQuiet = (node: string): boolean =>
      isGround(node) ||
      isRail(node) ||
      isBiasNode(node) ||
      look.at(node, 'a').length + look.at(node, 'k').length > 0;
    if (isQuiet(one) || isQuiet(two)) continue;
    const beside = look
      .partsAt(one)
      .find((each) => each.class === 'resistor' && otherEnd(each, one, look) === two);
    const role = beside && naming.roles.get(beside.ref)?.role;
    if (beside === undefined || (role !== 'grid-stopper' && role !== 'grid-leak' && role !== 'unknown'))
      continue;
    const isDivided = [one, two].some(
      (node) =>
        look.at(node, 'g').length > 0 &&
        partsAt(naming, node).some(
          (each) =>
            each !== beside && each.class === 'resistor' && isGround(otherEnd(each, node, look) ?? ''),
        ),
    );
    if (!isDivided) continue;
    const because = `across ${beside.ref}, between two stages`;
    name(part.ref, { network: 'bright', because, serves: [beside.ref] });
  }
}

/** A small capacitor from a place with signal to ground, by itself or through a resistor or a control. */
export function nameTrebleCuts(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    const value = part.class === 'capacitor' ? farads(part) : undefined;
    if (value === undefined || value > LARGEST_TREBLE_CUT || naming.roles.get(part.ref)?.role !== 'unknown')
      continue;
    const ends = look.ends(part);
    const live = ends?.find((node) => hasSignal(naming, node));
    const far = live === undefined ? undefined : otherEnd(part, live, look);
    if (live === undefined || far === undefined) continue;
    if (isGround(far) || isSupplyRail(far)) {
      name(part.ref, { network: 'treble-cut', because: `from ${live} to ${far}` });
      continue;
    }
    const [next, another] = look.partsAt(far).filter((each) => each !== part);
    if (next === undefined || another !== undefined) continue;
    const isSeries = next.class === 'resistor' || next.class === 'potentiometer';
    const leads = [...next.terminals.values()].filter((node) => node !== far);
    const isStill = leads.every((node) => isGround(node) || isSupplyRail(node));
    // Between the two anodes of an output stage it damps the transformer.
    const isAcross = leads.every((node) => isPushPull(naming, live, node));
    if (!isSeries || leads.length === 0 || !(isStill || isAcross)) continue;
    const because = `from ${live} through ${next.ref} to ${leads[0]}`;
    name(part.ref, { network: 'treble-cut', because });
    name(next.ref, { network: 'treble-cut', because, serves: [part.ref] });
  }
}

/** The two ends of one output transformer's primary. */
function isPushPull({ look, roles }: Naming, one: string, other: string): boolean {
  return look.partsAt(one).some((part) => {
    const ends = [part.terminals.get('p1'), part.terminals.get('p2')];
    return (
      roles.get(part.ref)?.role === 'output-transformer' &&
      part.terminals.has('ct') &&
      one !== other &&
      ends.includes(one) &&
      ends.includes(other)
    );
  });
}

/** An anode with a load, a grid, or what a coupling capacitor leads to. */
function hasSignal({ look, roles }: Naming, node: string): boolean {
  if (isGround(node) || isRail(node) || isBiasNode(node)) return false;
  if (look.at(node, 'a').length > 0 || look.at(node, 'g').length > 0) return true;
  return look.partsAt(node).some(({ ref }) => roles.get(ref)?.role === 'coupling');
}

/** Controls and capacitors that hang together behind a stage, where none of them is anything else. */
export function nameTones(naming: Naming): void {
  const { look, name } = naming;
  const seen = new Set<string>();
  for (const start of look.parts.values()) {
    if (start.class !== 'potentiometer' || seen.has(start.ref) || !isFree(naming, start)) continue;
    const group: FittedPart[] = [];
    const borders = new Set<string>();
    const open = [start];
    seen.add(start.ref);
    for (let part = open.pop(); part !== undefined; part = open.pop()) {
      group.push(part);
      for (const node of part.terminals.values()) {
        if (isGround(node) || isRail(node)) continue;
        borders.add(node);
        for (const next of look.partsAt(node)) {
          if (seen.has(next.ref) || !isFree(naming, next)) continue;
          seen.add(next.ref);
          open.push(next);
        }
      }
    }
    const hasCapacitor = group.some(({ class: of }) => of === 'capacitor');
    const driver = [...borders].find(
      (node) =>
        look.at(node, 'a').length > 0 ||
        look.at(node, 'k').length > 0 ||
        withRole(naming, node, 'coupling').length > 0,
    );
    if (!hasCapacitor || driver === undefined) continue;
    const found: Found = { network: 'tone', because: `with ${start.ref}, driven at ${driver}` };
    for (const part of group) name(part.ref, found);
    // The treble's capacitor stands between the driver and the network, and couples nothing else.
    for (const part of partsAt(naming, driver)) {
      const far: string | undefined = part.class === 'capacitor' ? otherEnd(part, driver, look) : undefined;
      const isInto =
        far !== undefined && far !== driver && borders.has(far) && look.at(far, 'g').length === 0;
      if (isInto && isBright(part)) name(part.ref, found);
    }
  }
}

function isFree({ roles }: Naming, { ref, class: of }: FittedPart): boolean {
  const found = roles.get(ref);
  return (
    (of === 'resistor' || of === 'capacitor' || of === 'potentiometer') &&
    found?.role === 'unknown' &&
    found.network === undefined
  );
}
