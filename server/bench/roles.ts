/**
 * Owns what each part does, found from what it is tied to, with the reason said. It goes by topology and class only;
 * what it cannot see it calls unknown, and what rests on a guess it calls likely.
 */

import { isSameList } from '../sheet/keeping.ts';
import {
  endsOf,
  isAnode,
  isDecoupled,
  isGround,
  isRectifier,
  isReturn,
  type Look,
  oriented,
  otherEnd,
  type Parts,
  rectifierEnds,
} from './look.ts';
import { type FittedPart, findValueInUse, type Known, type Role, type RoleFound } from './model.ts';
import { compareNames, isBiasNode, isRail, isSecondary, isSupplyRail } from './points.ts';

/** A resistor of no more than this at a cathode is there to be measured across. */
const SENSE_OHMS = 10;

/** A verdict before it is a RoleFound. */
interface Verdict {
  readonly role: Role;
  readonly serves?: readonly string[];
  readonly because: string;
  readonly confidence?: RoleFound['confidence'];
}

/** Whether parts in the same places are told alike: by all that roles and networks go by, but for the places themselves. */
export function areToldAlike(before: Parts, now: Parts): boolean {
  if (before === now) return true;
  if (before.size !== now.size) return false;
  const there = before.values();
  for (const part of now.values()) {
    const was = there.next().value;
    if (was === undefined || (was !== part && !isToldAlike(was, part))) return false;
  }
  return true;
}

function isToldAlike(one: FittedPart, other: FittedPart): boolean {
  return (
    one.ref === other.ref &&
    one.class === other.class &&
    one.section === other.section &&
    one.terminals === other.terminals &&
    one.type?.text === other.type?.text &&
    one.type?.valve === other.type?.valve &&
    isSameList(one.kinds, other.kinds) &&
    isSameList(one.string ?? NONE, other.string ?? NONE) &&
    isSameQuantity(one.value, other.value) &&
    isSameQuantity(findValueInUse(one), findValueInUse(other))
  );
}

function isSameQuantity(one: Known | undefined, other: Known | undefined): boolean {
  return one?.quantity.value === other?.quantity.value && one?.quantity.unit === other?.quantity.unit;
}

export function findRoles(look: Look): ReadonlyMap<string, RoleFound> {
  const roles = new Map<string, RoleFound>();
  const settle = (part: FittedPart, verdict: Verdict | undefined): void => {
    const unsaid =
      part.terminals.size === 0 ? 'nothing says where it is connected' : 'its connections fit no role';
    roles.set(part.ref, {
      ref: part.ref,
      role: verdict?.role ?? 'unknown',
      serves: verdict?.serves ?? NONE,
      because: verdict?.because ?? unsaid,
      confidence: verdict?.confidence ?? 'certain',
      network: undefined,
    });
  };
  const stoppers = findStoppers(look);
  // Capacitors are told by the resistors beside them, so resistors come first.
  const capacitors: FittedPart[] = [];
  const others: FittedPart[] = [];
  for (const part of look.inOrder) {
    if (part.class === 'resistor') settle(part, resistorRole(part, look, stoppers));
    else if (part.class === 'capacitor') capacitors.push(part);
    else others.push(part);
  }
  for (const part of others) {
    switch (part.class) {
      case 'inductor':
        settle(part, inductorRole(part, look));
        break;
      case 'transformer':
      case 'transformer-or-transistor':
        settle(part, transformerRole(part, look));
        break;
      case 'diode':
        settle(part, rectifierRole(part, look));
        break;
      case 'valve':
        // An amplifying valve is what the others' roles are about; it has none itself.
        if (isRectifier(part)) settle(part, rectifierRole(part, look));
        break;
      case 'potentiometer':
        settle(part, potRole(part, look, stoppers));
        break;
      default:
        // Jacks, fuses, lamps and the like are told by their class.
        break;
    }
  }
  for (const part of capacitors) settle(part, capacitorRole(part, look, stoppers, roles));
  return roles;
}

const NONE: readonly never[] = [];

/** Resistors between a grid and the point that drives it; the grid is then also heard at their far end. */
function findStoppers(look: Look): ReadonlyMap<string, readonly string[]> {
  const behind = new Map<string, readonly string[]>();
  for (const part of look.parts.values()) {
    if (part.class !== 'resistor') continue;
    const ends = oriented(part, look, (node) => look.at(node, 'g').length > 0);
    if (ends === undefined) continue;
    const [grid, far] = ends;
    if (isReturn(far) || isRail(far) || look.at(far, 'a').length > 0) continue;
    // Returned to its own cathode, or into the resistors below one, it is a leak; another valve's cathode drives it.
    const own = look.at(grid, 'g');
    if (look.at(far, 'k').some((ref) => own.includes(ref)) || leadsToCathode(far, part, look)) continue;
    // A leak returned to a biased point in the cathode circuit looks the same but for what drives the grid itself.
    const isDriven = look.partsAt(grid).some((other) => {
      if (other.class !== 'capacitor') return false;
      const from = otherEnd(other, grid, look);
      // One across the resistor itself only lets treble past it.
      return from !== 'gnd' && from !== far;
    });
    if (isDriven) continue;
    behind.set(far, [...(behind.get(far) ?? []), ...look.at(grid, 'g')].sort(compareNames));
  }
  return behind;
}

/** Grids that hear a node: on it, or behind a stopper. */
function gridsHearing(
  node: string,
  look: Look,
  stoppers: ReadonlyMap<string, readonly string[]>,
): readonly string[] {
  const own = look.at(node, 'g');
  const behind = stoppers.get(node);
  return behind === undefined ? own : [...new Set([...own, ...behind])];
}

function resistorRole(
  part: FittedPart,
  look: Look,
  stoppers: ReadonlyMap<string, readonly string[]>,
): Verdict | undefined {
  const ends = look.ends(part);
  if (ends === undefined) return undefined;
  const between = `between ${ends[0]} and ${ends[1]}`;
  const [cathode, belowCathode] =
    oriented(part, look, (node) => look.at(node, 'k').length > 0 && !isGround(node)) ?? [];
  if (cathode !== undefined && belowCathode !== undefined) {
    const serves = look.at(cathode, 'k');
    const ohms = findValueInUse(part)?.quantity.value ?? part.value?.quantity.value;
    if (isGround(belowCathode) || isBiasNode(belowCathode)) {
      const isSense = ohms !== undefined && ohms <= SENSE_OHMS;
      return { role: isSense ? 'sense-resistor' : 'cathode-resistor', serves, because: between };
    }
    if (look.at(belowCathode, 'g').length > 0) {
      return {
        role: 'grid-leak',
        serves: look.at(belowCathode, 'g'),
        because: `${between}, returned to the cathode`,
      };
    }
    if (isTowardsSecondary(belowCathode, look)) return { role: 'feedback', serves, because: between };
    if (look.at(belowCathode, 'a').length === 0 && !isSupplyRail(belowCathode)) {
      return { role: 'cathode-resistor', serves, because: between, confidence: 'likely' };
    }
  }
  const [anode, fromSupply] = oriented(part, look, (node) => isAnode(node, look)) ?? [];
  if (anode !== undefined && fromSupply !== undefined && !isGround(fromSupply)) {
    const serves = look.at(anode, 'a');
    const ohms = findValueInUse(part)?.quantity.value;
    if (ohms !== undefined && ohms <= SENSE_OHMS && isPrimary(fromSupply, look))
      return { role: 'sense-resistor', serves, because: between };
    if (isSupplyRail(fromSupply)) return { role: 'anode-load', serves, because: between };
    if (gridsHearing(fromSupply, look, stoppers).length === 0 && isDecoupled(fromSupply, look)) {
      return {
        role: 'anode-load',
        serves,
        because: `${between}, which is decoupled to ground`,
        confidence: 'likely',
      };
    }
  }
  const [screen, screenSupply] =
    oriented(part, look, (node) => look.at(node, 'g2').length > 0 && !isSupplyRail(node)) ?? [];
  if (screen !== undefined && screenSupply !== undefined && !isGround(screenSupply)) {
    const serves = look.at(screen, 'g2');
    const isSupply =
      isSupplyRail(screenSupply) || isDecoupled(screenSupply, look) || look.at(screenSupply, 'a').length > 0;
    return {
      role: 'screen-resistor',
      serves,
      because: between,
      confidence: isSupply ? 'certain' : 'likely',
    };
  }
  const [grid, leakTo] = oriented(part, look, (node) => gridsHearing(node, look, stoppers).length > 0) ?? [];
  if (grid !== undefined && leakTo !== undefined) {
    const serves = gridsHearing(grid, look, stoppers);
    if (isReturn(leakTo)) return { role: 'grid-leak', serves, because: between };
    if (isTowardsSecondary(leakTo, look)) return { role: 'feedback', serves, because: between };
    const stopped = look.at(grid, 'g').length > 0 && stoppers.has(leakTo);
    if (stopped) return { role: 'grid-stopper', serves: look.at(grid, 'g'), because: between };
    const isStopper = look.at(leakTo, 'g').length > 0 && stoppers.has(grid);
    if (isStopper) return { role: 'grid-stopper', serves: look.at(leakTo, 'g'), because: between };
    // What returns a driven grid to anything else holds it there: a tail, a divider.
    return { role: 'grid-leak', serves, because: between, confidence: 'likely' };
  }
  return supplyResistorRole(part, ends, between, look);
}

function supplyResistorRole(
  part: FittedPart,
  ends: readonly [string, string],
  between: string,
  look: Look,
): Verdict | undefined {
  const [one, two] = ends;
  const isFed = (node: string): boolean => isSupplyRail(node) || look.rectified.has(node);
  if (isFed(one) && isFed(two)) return { role: 'dropper', because: between };
  if ((isFed(one) && isGround(two)) || (isFed(two) && isGround(one)))
    return { role: 'bleeder', because: between };
  const [rail, far] = isFed(one) ? [one, two] : isFed(two) ? [two, one] : [];
  if (rail !== undefined && far !== undefined && isDecoupled(far, look)) {
    return { role: 'dropper', because: `${between}, which is decoupled to ground`, confidence: 'likely' };
  }
  if (isTowardsSecondary(one, look) || isTowardsSecondary(two, look))
    return { role: 'feedback', because: between, confidence: 'likely' };
  const isNegative = (node: string): boolean => isBiasNode(node);
  if (isNegative(one) && isNegative(two)) return { role: 'dropper', because: between };
  const tail = [one, two].find((node) => !isGround(node) && leadsToCathode(node, part, look));
  if (tail !== undefined) {
    const far = tail === one ? two : one;
    const ohms = findValueInUse(part)?.quantity.value;
    if (isGround(far) && ohms !== undefined && ohms <= SENSE_OHMS) {
      return { role: 'sense-resistor', serves: cathodesAbove(tail, part, look), because: between };
    }
    return { role: 'tail', because: between, confidence: isGround(far) ? 'certain' : 'likely' };
  }
  return undefined;
}

/** An end of an output transformer's primary, with nothing else of a valve there. */
function isPrimary(node: string, look: Look): boolean {
  return look
    .partsAt(node)
    .some(
      (part) =>
        part.class.startsWith('transformer') &&
        ['p1', 'p2'].some((terminal) => part.terminals.get(terminal) === node),
    );
}

/** A tap or what it is wired to, by whatever name, or one resonance control away from it. */
function isTowardsSecondary(node: string, look: Look): boolean {
  if (isSecondary(node)) return true;
  if (isGround(node) || isSupplyRail(node)) return false;
  const there = look.partsAt(node);
  if (there.some((part) => isOutputAt(part, node))) return true;
  return there.some((part) => {
    if (part.class !== 'potentiometer') return false;
    const tap = [...part.terminals.values()].find(isSecondary);
    return (
      tap !== undefined &&
      there.some((other) => other.class === 'capacitor' && otherEnd(other, node, look) === tap)
    );
  });
}

/** The loudspeaker, or a tap of the transformer (`8R`), not its primary. */
function isOutputAt(part: FittedPart, node: string): boolean {
  if (part.class === 'loudspeaker') return true;
  if (!part.class.startsWith('transformer')) return false;
  return [...part.terminals].some(([terminal, at]) => at === node && /^\d+(?:\.\d+)?R$/i.test(terminal));
}

function leadsToCathode(node: string, except: FittedPart, look: Look): boolean {
  return cathodesAbove(node, except, look).length > 0;
}

/** Valves whose cathodes sit one resistor away from a node. */
function cathodesAbove(node: string, except: FittedPart, look: Look): readonly string[] {
  let above: readonly string[] = NONE;
  for (const part of look.partsAt(node)) {
    if (part.class !== 'resistor' || part.ref === except.ref) continue;
    const cathodes = look.at(otherEnd(part, node, look), 'k');
    if (cathodes.length > 0) above = above.length === 0 ? cathodes : [...above, ...cathodes];
  }
  return above;
}

function capacitorRole(
  part: FittedPart,
  look: Look,
  stoppers: ReadonlyMap<string, readonly string[]>,
  roles: ReadonlyMap<string, RoleFound>,
): Verdict | undefined {
  const ends = look.ends(part);
  if (ends === undefined) return undefined;
  const between = `between ${ends[0]} and ${ends[1]}`;
  const [cathode, other] =
    oriented(part, look, (node) => look.at(node, 'k').length > 0 && !isGround(node)) ?? [];
  if (cathode !== undefined && other !== undefined) {
    const beside = look
      .partsAt(cathode)
      .find(
        (each) => roles.get(each.ref)?.role === 'cathode-resistor' && otherEnd(each, cathode, look) === other,
      );
    if (beside !== undefined) {
      return { role: 'cathode-bypass', serves: look.at(cathode, 'k'), because: `across ${beside.ref}` };
    }
    if (isGround(other))
      return {
        role: 'cathode-bypass',
        serves: look.at(cathode, 'k'),
        because: between,
        confidence: 'likely',
      };
  }
  const [anode, driven] = oriented(part, look, (node) => isAnode(node, look)) ?? [];
  if (anode !== undefined && driven !== undefined) {
    const grids = [...gridsHearing(driven, look, stoppers), ...gridsBehindPot(driven, look, stoppers)];
    const own = look.at(anode, 'a');
    // Back to the grid of its own valve it takes off the top, and couples nothing.
    if (grids.length > 0 && grids.every((grid) => own.includes(grid)))
      return { role: 'snubber', serves: grids, because: between };
    if (grids.length > 0 && look.at(driven, 'a').length === 0)
      return { role: 'coupling', serves: grids, because: between };
    if (look.at(driven, 'a').length > 0) return { role: 'snubber', because: between, confidence: 'likely' };
    const isOnward = !isGround(driven) && !isSupplyRail(driven) && look.partsAt(driven).length > 1;
    if (isOnward && !isShunt(part, driven, look)) {
      return { role: 'coupling', because: between, confidence: 'likely' };
    }
  }
  const [grid, source] = oriented(part, look, (node) => gridsHearing(node, look, stoppers).length > 0) ?? [];
  if (grid !== undefined && source !== undefined && isSignalSource(source, look)) {
    return {
      role: 'coupling',
      serves: gridsHearing(grid, look, stoppers),
      because: between,
      confidence: 'likely',
    };
  }
  const follower = ends.find((node) =>
    look.at(node, 'k').some((ref) => isSupplyRail(look.circuit.nodeOf(`${ref}.a`) ?? '')),
  );
  if (follower !== undefined && !ends.some(isGround)) {
    return { role: 'coupling', because: `${between}, from a follower`, confidence: 'likely' };
  }
  const [live] = oriented(part, look, (node) => !isGround(node)) ?? [];
  const toGround = ends.some(isGround);
  const inString = part.string !== undefined;
  if (live === undefined || (!toGround && !inString)) return undefined;
  const feeds = ends.find((node) => look.rectified.has(node));
  if (feeds !== undefined) return { role: 'reservoir', because: `on ${feeds}, which the rectifier feeds` };
  if (isBiasNode(live)) return { role: 'smoothing', because: between };
  const rail = ends.find(isSupplyRail);
  if (rail !== undefined) {
    if (look.rectified.size > 0) return { role: 'smoothing', because: between };
    // With no rectifier said, the rail that feeds the others stands first.
    if (rail === look.firstRail) {
      return {
        role: 'reservoir',
        because: `on ${rail}, the first rail; no rectifier is said`,
        confidence: 'likely',
      };
    }
    return { role: 'smoothing', because: between, confidence: 'likely' };
  }
  if (look.at(live, 'g2').length > 0)
    return { role: 'smoothing', because: `${between}, a screen`, confidence: 'likely' };
  if (
    isDecoupled(live, look) &&
    look.partsAt(live).some((each) => each.class === 'resistor' && touchesRail(each, look))
  ) {
    return { role: 'smoothing', because: between, confidence: 'likely' };
  }
  return undefined;
}

/** Less from a capacitor's far end to ground is no grid leak but a part of a network that takes treble away [Ω]. */
const LEAST_LEAK = 220_000;

/** Whether a capacitor leads through one resistor, or a control used as one, to a place that stands still or to another anode. */
function isShunt(capacitor: FittedPart, driven: string, look: Look): boolean {
  const [series, another] = look.partsAt(driven).filter((part) => part !== capacitor);
  if (series === undefined || another !== undefined) return false;
  const leads = [...series.terminals.values()].filter((node) => node !== driven);
  const isStill = leads.every((node) => isReturn(node) || isSupplyRail(node));
  if (series.class === 'resistor') {
    const ohms = findValueInUse(series)?.quantity.value ?? Number.POSITIVE_INFINITY;
    return isStill ? ohms < LEAST_LEAK : leads.every((node) => look.at(node, 'a').length > 0);
  }
  // Of a control that is a divider the wiper leads on.
  return series.class === 'potentiometer' && series.terminals.has('2') && isStill;
}

/** Grids on the wiper of a control whose end sits at the node. */
function gridsBehindPot(
  node: string,
  look: Look,
  stoppers: ReadonlyMap<string, readonly string[]>,
): readonly string[] {
  if (isGround(node)) return NONE;
  const grids: string[] = [];
  for (const part of look.partsAt(node)) {
    const wiper = part.class === 'potentiometer' ? part.terminals.get('2') : undefined;
    if (wiper !== undefined && wiper !== node) grids.push(...gridsHearing(wiper, look, stoppers));
  }
  return grids;
}

/** A place that drives what follows: a cathode, the lower output of a cathodyne, a jack, a winding, a tank, the wiper of a control. */
function isSignalSource(node: string, look: Look): boolean {
  if (isGround(node)) return false;
  if (look.at(node, 'k').length > 0) return true;
  if (/^(?:J|T|TR|TK|IC|Q)\d/.test(node)) return true;
  if (isUnderCathode(node, look)) return true;
  return look
    .partsAt(node)
    .some(
      (part) =>
        part.class === 'potentiometer' && part.terminals.get('2') === node && !endsOf(part)?.includes(node),
    );
}

/** Where a cathode resistor goes on to another resistor instead of to ground: a cathodyne takes its lower output there. */
function isUnderCathode(node: string, look: Look): boolean {
  const resistors = look.partsAt(node).filter((part) => part.class === 'resistor');
  return (
    resistors.some((part) => look.at(otherEnd(part, node, look), 'k').length === 1) &&
    resistors.some((part) => otherEnd(part, node, look) === 'gnd')
  );
}

function touchesRail(part: FittedPart, look: Look): boolean {
  return look.ends(part)?.some((node) => isSupplyRail(node) || look.rectified.has(node)) ?? false;
}

function inductorRole(part: FittedPart, look: Look): Verdict | undefined {
  const ends = look.ends(part);
  if (ends === undefined) {
    return part.kinds.includes('choke') ? { role: 'choke', because: 'said to be a choke' } : undefined;
  }
  if (!ends.some((node) => isSupplyRail(node) || look.rectified.has(node))) return undefined;
  return { role: 'choke', because: `between ${ends[0]} and ${ends[1]}` };
}

function transformerRole(part: FittedPart, look: Look): Verdict | undefined {
  const anodes = [...part.terminals.values()].flatMap((node) => look.at(node, 'a'));
  if (part.kinds.includes('output')) {
    return { role: 'output-transformer', serves: anodes, because: 'said to be an output transformer' };
  }
  if (part.kinds.includes('mains'))
    return { role: 'mains-transformer', because: 'said to be a mains transformer' };
  if (anodes.length > 0) {
    return {
      role: 'output-transformer',
      serves: anodes,
      because: `its primary is on ${anodes.map((ref) => `${ref}.a`).join(' and ')}`,
    };
  }
  return undefined;
}

function rectifierRole(part: FittedPart, look: Look): Verdict | undefined {
  if (part.class === 'valve') {
    return part.type?.valve?.kind === 'rectifier'
      ? { role: 'rectifier', because: `${part.type.text} is a rectifier` }
      : undefined;
  }
  const { anodes, cathode } = rectifierEnds(part, look.parts);
  const fed = [cathode, anodes[0]].find((node) => node !== undefined && (isRail(node) || isBiasNode(node)));
  if (fed === undefined) return undefined;
  return {
    role: 'rectifier',
    because: `it feeds ${fed}`,
    confidence: look.rectified.has(fed) ? 'certain' : 'likely',
  };
}

function potRole(
  part: FittedPart,
  look: Look,
  stoppers: ReadonlyMap<string, readonly string[]>,
): Verdict | undefined {
  const wiper = part.terminals.get('2');
  if (wiper === undefined) return undefined;
  const grids = gridsHearing(wiper, look, stoppers);
  const ends = look.ends(part);
  if (grids.length === 0 || !ends?.some(isReturn)) return undefined;
  return {
    role: 'grid-leak',
    serves: grids,
    because: `its wiper drives ${grids.map((ref) => `${ref}.g`).join(' and ')}`,
    confidence: 'likely',
  };
}
