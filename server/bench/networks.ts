/**
 * Owns what several parts are together: a follower, a phase splitter, a volume control with its bright capacitor, a tone
 * network, a feedback loop, a bias supply, a reverberation. It builds on the roles of single parts, replaces none of them
 * but `unknown`, and leaves unknown what fits nothing.
 */
import { namePeakers, nameTones, nameTrebleCuts, nameVolumes } from './control-networks.ts';
import { nameFeedback } from './feedback-networks.ts';
import { isGround, type Look } from './look.ts';
import type { RoleFound } from './model.ts';
import { type Found, gridsAt, type Naming, nodeAt, partsAt, withRole } from './network-naming.ts';
import { isBiasNode, isSupplyRail } from './points.ts';
import { nameSplitters } from './splitter-networks.ts';

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
    const isTold = own !== undefined && own.role !== 'unknown';
    named.set(ref, {
      ref,
      role: isTold ? own.role : network,
      serves: isTold ? own.serves : (serves ?? NONE),
      because: isTold ? own.because : because,
      confidence: isTold ? own.confidence : confidence,
      network: { name: network, because, confidence },
    });
  };
  const wholes = new Set<string>();
  for (const part of look.parts.values())
    if (part.class === 'valve' && part.section !== undefined) wholes.add(part.whole);
  const valves = look.inOrder.filter(
    (part) => part.class === 'valve' && !(part.section === undefined && wholes.has(part.ref)),
  );
  const naming: Naming = { look, roles: named, name, valves };
  for (const family of FAMILIES) family(naming);
  return named;
}

const NONE: readonly never[] = [];

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
