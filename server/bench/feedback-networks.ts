/** Owns the naming of a feedback loop from the loudspeaker, with what shapes it. */
import { isGround, otherEnd } from './look.ts';
import type { FittedPart } from './model.ts';
import type { Naming } from './network-naming.ts';
import { isRail } from './points.ts';

/** From a secondary of the output transformer back to an earlier stage, with what shapes it. */
export function nameFeedback(naming: Naming): void {
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
