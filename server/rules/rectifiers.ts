/** Owns which rectifiers feed a node, and whether they use both halves of the cycle. */

import type { FittedPart, PhaseView } from '../bench/model.ts';
import { partsAt } from './valve-circuit.ts';

export function rectifiersAt(view: PhaseView, node: string): readonly FittedPart[] {
  return partsAt(view, node).filter(({ ref }) => view.roles.get(ref)?.role === 'rectifier');
}

/** Two diodes or more on the node, or a valve whose two anodes are both fed. */
export function isFullWave(rectifiers: readonly FittedPart[]): boolean {
  const diodes = rectifiers.filter((part) => part.class === 'diode').length;
  return (
    diodes > 1 ||
    rectifiers.some((part) => part.class === 'valve' && part.terminals.has('a1') && part.terminals.has('a2'))
  );
}
