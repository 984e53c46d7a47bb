/**
 * Owns looking figures up by their name. Of a sheet that is read once no more figures are made than those that somebody asks
 * for, and those that they rest on.
 */
import type { Figure, FigureName, PhaseView } from './model.ts';

/** What a verdict rests on, which are the figures of the verdict set and those that need no reading; or those of all sets. */
export type Sets = 'verdict' | 'all';

/** The figures of a name, in the order of all figures; the very same list each time. */
export type FiguresByName = (name: FigureName, sets: Sets) => readonly Figure[];

const byNameOf = new WeakMap<PhaseView, FiguresByName>();

/** What a view's figures are asked for by, where they are not all made. */
export function answerByName(view: PhaseView, byName: FiguresByName): void {
  byNameOf.set(view, byName);
}

/** The figures of a name; `view` is not watched. */
export function figuresNamed(view: PhaseView, name: FigureName, sets: Sets = 'verdict'): readonly Figure[] {
  let byName = byNameOf.get(view);
  if (byName === undefined) {
    byName = indexed(view);
    byNameOf.set(view, byName);
  }
  return byName(name, sets);
}

/** Whether a verdict rests on a set. */
export function isVerdictSet(set: number, { verdictSet }: Pick<PhaseView, 'verdictSet'>): boolean {
  return set === 0 || set === verdictSet?.id;
}

const NONE: readonly Figure[] = [];

function indexed(view: PhaseView): FiguresByName {
  const index = new Map<FigureName, Record<Sets, Figure[]>>();
  for (const figure of view.figures) {
    let of = index.get(figure.figure);
    if (of === undefined) {
      of = { verdict: [], all: [] };
      index.set(figure.figure, of);
    }
    of.all.push(figure);
    if (isVerdictSet(figure.set, view)) of.verdict.push(figure);
  }
  return (name, sets) => index.get(name)?.[sets] ?? NONE;
}
