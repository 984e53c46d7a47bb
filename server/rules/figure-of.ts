/** Owns looking up one figure by its subject: rules ask for a part's volts or watts over and over. */
import type { Figure, FigureName, PhaseView } from '../bench/model.ts';
import { ask, isAsking } from '../sheet/asking.ts';
import { unwatched } from '../sheet/watching.ts';
import type { RuleContext } from './rule.ts';
import { verdictFigures } from './verdict-figures.ts';

const bySubject = new WeakMap<readonly Figure[], ReadonlyMap<string, Figure>>();

/** The figure of a subject in the view's verdict set, or one that needs no reading. */
export function findFigure(
  { figures }: Pick<RuleContext, 'figures'>,
  view: PhaseView,
  name: FigureName,
  subject: string,
): Figure | undefined {
  const list = isAsking() ? ownFigures(view, name, subject) : figures(view, name);
  let known = bySubject.get(list);
  if (known === undefined) {
    // The first of a subject counts, as it does for whoever reads the list.
    known = new Map([...list].reverse().map((figure) => [figure.subject, figure]));
    bySubject.set(list, known);
  }
  return known.get(subject);
}

const NONE: readonly Figure[] = [];

/** Whoever goes from thing to thing asks for this subject alone; what else is looked at is which set is the verdict's. */
function ownFigures(view: PhaseView, name: FigureName, subject: string): readonly Figure[] {
  ask(subject);
  void view.verdictSet;
  return verdictFigures(unwatched(view)).get(name) ?? NONE;
}
