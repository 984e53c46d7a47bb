/** Owns the order of an amplifier's stages as the signal meets them, from the input jacks on. It goes by topology alone and leaves out what it cannot reach. */
import { lookAt } from './look.ts';
import type { FittedPart, PhaseView } from './model.ts';
import { compareNames, isRail, isSecondary } from './points.ts';

/**
 * Sections by how many stages stand before them: the first list hears the input jacks themselves. Two in one list stand side by
 * side (two channels, or both halves of a pair). Empty where no jack is written.
 */
export function stagesInOrder(view: PhaseView): readonly (readonly string[])[] {
  const look = lookAt(view.parts, view.circuit);
  const seen = new Set<string>();
  const reached = new Set<string>();
  const stages: string[][] = [];
  let nodes: readonly string[] = view.circuit.nodes.filter((node) => isInput(node, view));
  while (nodes.length > 0) {
    const stage = new Set<string>();
    for (const node of spread(nodes, view, seen))
      for (const ref of look.at(node, 'g')) if (!reached.has(ref)) stage.add(ref);
    if (stage.size === 0) break;
    for (const ref of stage) reached.add(ref);
    stages.push([...stage].sort(compareNames));
    nodes = [...stage].flatMap((ref) => outputsOf(ref, view));
  }
  return stages;
}

/** A jack, or a node that is called the input, with nothing of the output on it. */
function isInput(node: string, view: PhaseView): boolean {
  if (!/^(?:J|SK|PL|X)\d|^in(?:put)?\d*$/i.test(node)) return false;
  return !view.circuit.attached(node).some(({ ref }) => {
    const part = view.parts.get(ref);
    return part?.class === 'transformer' || part?.class === 'loudspeaker' || isFromOutput(part);
  });
}

function isFromOutput(part: FittedPart | undefined): boolean {
  return [...(part?.terminals.values() ?? [])].some(isSecondary);
}

const PASSIVE: ReadonlySet<FittedPart['class']> = new Set([
  'resistor',
  'capacitor',
  'potentiometer',
  'switch',
  'inductor',
  'tank',
]);

/** All nodes that parts without gain lead to; ground, rails and the loudspeaker end the way. */
function* spread(from: readonly string[], view: PhaseView, seen: Set<string>): Iterable<string> {
  const waiting = [...from];
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    if (seen.has(node) || node === 'gnd' || isRail(node) || isSecondary(node)) continue;
    seen.add(node);
    yield node;
    for (const { ref } of view.circuit.attached(node)) {
      const part = view.parts.get(ref);
      if (part !== undefined && PASSIVE.has(part.class)) waiting.push(...part.terminals.values());
    }
  }
}

/** Where a stage gives its signal: the anode, or of a follower the cathode. */
function outputsOf(ref: string, view: PhaseView): readonly string[] {
  const found = view.roles.get(ref);
  const isFollower = (found?.network?.name ?? found?.role) === 'cathode-follower';
  const terminals = view.parts.get(ref)?.terminals;
  return [terminals?.get(isFollower ? 'k' : 'a')].filter((node) => node !== undefined);
}
