/** Owns the question whether anything holds a node at a direct voltage, as far as the sheet shows what hangs there. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { isBiasNode, isRail } from '../bench/points.ts';

/** What was seen on the way from a node. */
export interface DirectPath {
  /** Whether something holds it: ground, a rail, an electrode that carries current, or a part that may. */
  readonly isHeld: boolean;
  /** Refs met on the way, capacitors included. */
  readonly met: ReadonlySet<string>;
}

/** Whether a part at the node ties it straight to what holds it, as most grid leaks do: then nothing need be followed. */
export function isTiedStraight({ circuit, parts }: PhaseView, node: string, except: string): boolean {
  for (const { ref, terminal } of circuit.attached(node)) {
    const part = parts.get(ref);
    if (part === undefined || ref === except || part.class === 'test-point') continue;
    if (part.class === 'capacitor' || (part.class === 'valve' && terminal === 'g')) continue;
    if (!passes(part)) return true;
    for (const far of part.terminals.values()) if (holds(far)) return true;
  }
  return false;
}

function passes({ class: of }: FittedPart): boolean {
  return of === 'resistor' || of === 'inductor' || of === 'potentiometer';
}

function holds(node: string): boolean {
  return node === 'gnd' || isRail(node) || isBiasNode(node);
}

/** Follows resistors, coils and controls from a node; capacitors carry nothing and grids hold nothing. Any other part is taken to hold it. */
export function followDirect(view: PhaseView, from: string, except: string): DirectPath {
  const met = new Set<string>();
  const seen = new Set([from]);
  const open = [from];
  let isHeld = false;
  for (let node = open.pop(); node !== undefined && !isHeld; node = open.pop()) {
    // What else hangs on ground or on a rail does not matter, and it may be much.
    if (holds(node)) {
      isHeld = true;
      break;
    }
    for (const { ref, terminal } of view.circuit.attached(node)) {
      const part = view.parts.get(ref);
      if (part === undefined || ref === except || part.class === 'test-point') continue;
      met.add(ref);
      if (part.class === 'capacitor' || (part.class === 'valve' && terminal === 'g')) continue;
      if (!passes(part)) {
        isHeld = true;
        continue;
      }
      for (const far of part.terminals.values()) {
        if (seen.has(far)) continue;
        seen.add(far);
        open.push(far);
      }
    }
  }
  return { isHeld, met };
}
