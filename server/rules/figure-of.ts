/** Owns looking figures up: rules ask for a part's volts or watts over and over. */
import { figuresNamed, type Sets } from '../bench/figures-by-name.ts';
import type { Figure, FigureName, PhaseView } from '../bench/model.ts';
import { ask, isAsking } from '../sheet/asking.ts';
import { lookUpIn, unwatched } from '../sheet/watching.ts';
import type { RuleContext } from './rule.ts';

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

/** Whoever goes from thing to thing asks for this subject alone; what else is looked at is which set is the verdict's. */
function ownFigures(view: PhaseView, name: FigureName, subject: string): readonly Figure[] {
  ask(subject);
  void view.verdictSet;
  return figuresNamed(unwatched(view), name);
}

/** All figures of a name, for whoever has no context at hand or wants those of other sets as well. */
export function figuresIn(view: PhaseView, name: FigureName, sets: Sets = 'verdict'): readonly Figure[] {
  return lookUpIn(view, `figures ${name} ${sets}`, (own) => figuresNamed(own, name, sets));
}
