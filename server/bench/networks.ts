/**
 * Owns what several parts are together: a follower, a phase splitter, a volume control with its bright capacitor, a tone
 * network, a feedback loop, a bias supply, a reverberation. It builds on the roles of single parts, replaces none of them
 * but `unknown`, and leaves unknown what fits nothing.
 */
import { isGround, type Look, otherEnd } from './look.ts';
import type { FittedPart, Network, RoleFound } from './model.ts';
import { findValueInUse } from './model.ts';
import { compareNames, isBiasNode, isRail, isSupplyRail } from './points.ts';

/** A capacitor that takes treble away is no larger [F]; a larger one decouples. */
const LARGEST_TREBLE_CUT = 0.05e-6;
/** A capacitor that lets treble past a control is no larger [F]. */
const LARGEST_BRIGHT = 5e-9;
/** Two resistors that are meant to be equal are within this of each other. */
const EQUAL = 0.2;
/** A resistor to ground no larger holds a node still for signals [Ω]. */
const LOW_OHMS = 10_000;

interface Found {
  readonly network: Network;
  readonly because: string;
  readonly confidence?: RoleFound['confidence'];
  readonly serves?: readonly string[];
}

interface Naming {
  readonly look: Look;
  readonly roles: ReadonlyMap<string, RoleFound>;
  readonly name: (ref: string, found: Found) => void;
  readonly valves: readonly FittedPart[];
}

/** The roles with the networks that they belong to. */
export function findNetworks(
  look: Look,
  roles: ReadonlyMap<string, RoleFound>,
): ReadonlyMap<string, RoleFound> {
  const named = new Map(roles);
  const name = (ref: string, { network, because, confidence = 'likely', serves }: Found): void => {
    const own = named.get(ref);
    // The first name holds: the families below go from the surest to the least sure.
    if (own?.network !== undefined) return;
    const within = { name: network, because, confidence };
    if (own !== undefined && own.role !== 'unknown') named.set(ref, { ...own, network: within });
    else named.set(ref, { ref, role: network, serves: serves ?? [], because, confidence, network: within });
  };
  const wholes = new Set<string>();
  for (const part of look.parts.values())
    if (part.class === 'valve' && part.section !== undefined) wholes.add(part.whole);
  const valves = [...look.parts.values()]
    .filter((part) => part.class === 'valve' && !(part.section === undefined && wholes.has(part.ref)))
    .sort((a, b) => compareNames(a.ref, b.ref));
  const naming: Naming = { look, roles: named, name, valves };
  for (const family of FAMILIES) family(naming);
  return named;
}

const FAMILIES: readonly ((naming: Naming) => void)[] = [
  nameReverb,
  nameSplitters,
  nameFollowers,
  nameFeedback,
  nameVolumes,
  namePeakers,
  nameTrebleCuts,
  nameTones,
  nameBiasSupplies,
  nameStandby,
  nameHeaterReferences,
];

const nodeAt = (part: FittedPart, terminal: string): string | undefined => part.terminals.get(terminal);

function partsAt({ look }: Naming, node: string | undefined): readonly FittedPart[] {
  return node === undefined || isGround(node) ? [] : look.partsAt(node);
}

/** Parts of one role that serve a valve, by what sits at its electrode. */
function withRole(naming: Naming, node: string | undefined, role: RoleFound['role']): readonly FittedPart[] {
  return partsAt(naming, node).filter(({ ref }) => naming.roles.get(ref)?.role === role);
}

/** Grids that a node drives: there, or behind their stoppers. */
function gridsAt(naming: Naming, node: string | undefined): readonly string[] {
  if (node === undefined || isGround(node)) return [];
  const behind = withRole(naming, node, 'grid-stopper').flatMap(
    ({ ref }) => naming.roles.get(ref)?.serves ?? [],
  );
  return [...new Set([...naming.look.at(node, 'g'), ...behind])];
}

/** Grids that a node drives through its coupling capacitors or directly. */
function gridsBehind(naming: Naming, node: string | undefined): readonly string[] {
  if (node === undefined || isRail(node)) return [];
  const coupled = partsAt(naming, node).flatMap((part) =>
    part.class === 'capacitor' ? gridsAt(naming, otherEnd(part, node, naming.look)) : [],
  );
  return [...new Set([...gridsAt(naming, node), ...coupled])];
}

const ohms = (part: FittedPart | undefined): number | undefined => {
  const known = part && findValueInUse(part)?.quantity;
  return known?.unit === 'Ohm' ? known.value : undefined;
};
const farads = (part: FittedPart): number | undefined => {
  const known = findValueInUse(part)?.quantity;
  return known?.unit === 'F' ? known.value : undefined;
};

/** A tank, the valve that drives it and the one that hears it. */
function nameReverb(naming: Naming): void {
  const { look, name } = naming;
  for (const tank of look.parts.values()) {
    if (tank.class !== 'tank') continue;
    const [into, out] = [nodeAt(tank, '1'), nodeAt(tank, '2')];
    for (const ref of gridsAt(naming, out))
      name(ref, { network: 'reverb-recovery', because: `its grid hears ${tank.ref}`, confidence: 'certain' });
    const transformer = [...look.parts.values()].find(
      (part) =>
        part.class.startsWith('transformer') &&
        (part.ref === into || into?.startsWith(`${part.ref}.`) === true),
    );
    const nodes = transformer ? [...transformer.terminals.values()] : into === undefined ? [] : [into];
    for (const node of nodes) {
      for (const ref of [...look.at(node, 'a'), ...(transformer ? [] : look.at(node, 'k'))]) {
        if (isSupplyRail(node)) continue;
        name(ref, {
          network: 'reverb-drive',
          because: `it drives ${transformer?.ref ?? tank.ref}`,
          confidence: 'certain',
        });
      }
    }
    if (transformer)
      name(transformer.ref, {
        network: 'reverb-drive',
        because: `it feeds ${tank.ref}`,
        confidence: 'certain',
      });
  }
}

/** One signal made into two of opposite phase. */
function nameSplitters(naming: Naming): void {
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

/** Anode on the supply, and the signal taken from the cathode. */
function nameFollowers(naming: Naming): void {
  const { name, valves } = naming;
  for (const valve of valves) {
    const [a, k] = [nodeAt(valve, 'a'), nodeAt(valve, 'k')];
    if (a === undefined || k === undefined || !isSupplyRail(a) || isGround(k)) continue;
    const around = partsAt(naming, k).filter((part) => part.class !== 'valve');
    const resistors = withRole(naming, k, 'cathode-resistor');
    const isBypassed = withRole(naming, k, 'cathode-bypass').length > 0;
    const onward = around.filter((part) => !resistors.includes(part));
    if (resistors.length === 0 || isBypassed || (onward.length === 0 && naming.look.at(k, 'g').length === 0))
      continue;
    const because = `its anode is on ${a} and its cathode drives ${onward.map(({ ref }) => ref).join(' ') || 'a grid'}`;
    name(valve.ref, { network: 'cathode-follower', because, confidence: 'certain' });
    for (const part of resistors)
      name(part.ref, { network: 'cathode-follower', because: `the load of ${valve.ref}` });
  }
}

/** From a secondary of the output transformer back to an earlier stage, with what shapes it. */
function nameFeedback(naming: Naming): void {
  const { look, name } = naming;
  for (const found of [...naming.roles.values()]) {
    if (found.role !== 'feedback') continue;
    const part = look.parts.get(found.ref);
    const ends = part && look.ends(part);
    if (part === undefined || ends === undefined) continue;
    name(part.ref, { network: 'feedback-loop', because: found.because, confidence: found.confidence });
    for (const other of look.partsAt(ends[0])) {
      if (other.class === 'capacitor' && otherEnd(other, ends[0], look) === ends[1])
        name(other.ref, { network: 'feedback-shelf', because: `across ${part.ref}, in the feedback loop` });
    }
    const nodes = new Set<string>(ends);
    for (const node of ends) {
      const beyond = nameResonance(naming, node, part);
      if (beyond !== undefined) nodes.add(beyond).delete(node);
    }
    for (const node of nodes) {
      // The secondary's own load is no part of the loop.
      if (isGround(node) || /R$/i.test(node) || /^LS\d/.test(node)) continue;
      nameLoopNode(naming, node, part);
    }
  }
}

/** A control with a capacitor across it, in series with the feedback resistor: the bass that the loop lets through. Answers its far end. */
function nameResonance({ look, name }: Naming, node: string, feedback: FittedPart): string | undefined {
  if (isGround(node) || isRail(node)) return undefined;
  const there = look.partsAt(node).filter((part) => part !== feedback);
  for (const control of there) {
    if (control.class !== 'potentiometer') continue;
    for (const far of new Set(control.terminals.values())) {
      if (far === node || isGround(far)) continue;
      const capacitor = there.find(
        (part) => part.class === 'capacitor' && otherEnd(part, node, look) === far,
      );
      if (capacitor === undefined) continue;
      const because = `in series with ${feedback.ref}, with ${capacitor.ref} across it: it lifts the bass`;
      name(control.ref, { network: 'feedback-shelf', because });
      name(capacitor.ref, {
        network: 'feedback-shelf',
        because: `across ${control.ref}, in the feedback loop`,
      });
      return far;
    }
  }
  return undefined;
}

function nameLoopNode(naming: Naming, node: string, feedback: FittedPart): void {
  const { look, name } = naming;
  for (const part of look.partsAt(node)) {
    if (part === feedback || naming.roles.get(part.ref)?.role !== 'unknown') continue;
    const far = part.class === 'valve' ? undefined : otherEnd(part, node, look);
    if (part.class === 'resistor' && far === 'gnd') {
      const because = `below ${feedback.ref}, where the feedback comes in`;
      name(part.ref, { network: 'feedback-loop', because });
    } else if (part.class === 'potentiometer' || (part.class === 'capacitor' && far !== undefined)) {
      const because = `at ${node}, where the feedback comes in`;
      const leads = part.class === 'potentiometer' ? [...part.terminals.values()] : [far ?? ''];
      const onward = leads
        .filter((each) => each !== node && !isGround(each))
        .flatMap((each) => look.partsAt(each));
      const isToGround =
        leads.some(isGround) ||
        onward.some((each) => each !== part && [...each.terminals.values()].some(isGround));
      if (!isToGround) continue;
      name(part.ref, { network: 'feedback-shelf', because });
      for (const each of onward)
        if (each.class === 'capacitor' || each.class === 'potentiometer' || each.class === 'resistor')
          if (naming.roles.get(each.ref)?.role === 'unknown')
            name(each.ref, { network: 'feedback-shelf', because });
    }
  }
}

/** A control whose wiper drives a grid and whose lower end is ground; with a small capacitor from its upper end to its wiper. */
function nameVolumes(naming: Naming): void {
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

function isBright(part: FittedPart): boolean {
  const value = part.class === 'capacitor' ? farads(part) : undefined;
  return value !== undefined && value <= LARGEST_BRIGHT;
}

/** A small capacitor across a resistor between two stages lets treble past it. */
function namePeakers(naming: Naming): void {
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
function nameTrebleCuts(naming: Naming): void {
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
function nameTones(naming: Naming): void {
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

/** What makes and sets the negative volts of a grid. */
function nameBiasSupplies(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    const found = naming.roles.get(part.ref);
    const isMaking =
      found === undefined ||
      found.role === 'unknown' ||
      ['rectifier', 'smoothing', 'reservoir', 'dropper'].includes(found.role);
    if (!isMaking || !/^(?:resistor|capacitor|potentiometer|diode)$/.test(part.class)) continue;
    const node = [...part.terminals.values()].find(isBiasNode);
    if (node === undefined) continue;
    const confidence = found === undefined || found.role === 'unknown' ? 'likely' : found.confidence;
    name(part.ref, { network: 'bias-supply', because: `at ${node}`, confidence });
  }
}

/** A switch in the supply. */
function nameStandby(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    if (part.class !== 'switch') continue;
    const ends = look.ends(part);
    if (ends === undefined) continue;
    const isFed = (node: string): boolean => isSupplyRail(node) || look.rectified.has(node);
    const isSaid = part.kinds.some((kind) => kind.includes('standby'));
    if (!ends.some(isFed) || (!ends.every(isFed) && !isSaid)) continue;
    name(part.ref, { network: 'standby', because: `between ${ends[0]} and ${ends[1]}` });
  }
}

/** A resistor or a hum control that ties the heaters to ground or to a raised voltage. */
function nameHeaterReferences(naming: Naming): void {
  const { look, name } = naming;
  for (const part of look.parts.values()) {
    if (part.class !== 'resistor' && part.class !== 'potentiometer') continue;
    if (naming.roles.get(part.ref)?.role !== 'unknown') continue;
    const nodes = [...part.terminals.values()];
    const heater = nodes.find((node) => /^heaters?$/i.test(node));
    if (heater === undefined || nodes.every((node) => node === heater)) continue;
    name(part.ref, { network: 'heater-reference', because: `between ${nodes.join(' and ')}` });
  }
}
