/** Owns which figures of a phase a verdict rests on: those of its verdict set, and those that need no reading. */
import type { Figure, PhaseView } from '../bench/model.ts';

/** Figures of each view by name, in its verdict set and set 0, made once for all rules. */
const verdictFiguresOf = new WeakMap<PhaseView, ReadonlyMap<string, readonly Figure[]>>();

export function verdictFigures(view: PhaseView): ReadonlyMap<string, readonly Figure[]> {
  const known = verdictFiguresOf.get(view);
  if (known !== undefined) return known;
  const byName = new Map<string, Figure[]>();
  for (const figure of view.figures) {
    if (figure.set !== 0 && figure.set !== view.verdictSet?.id) continue;
    const list = byName.get(figure.figure);
    if (list === undefined) byName.set(figure.figure, [figure]);
    else list.push(figure);
  }
  verdictFiguresOf.set(view, byName);
  return byName;
}
