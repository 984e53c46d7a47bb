/** Owns what the two dissipation rules share: a valve's electrode held against the rating of its own system, said the same way. */
import type { FigureName, PhaseView } from '../bench/model.ts';
import { sayFigure } from '../bench/saying.ts';
import { type Step, severityOf } from './bands.ts';
import { assumptions, remarkOf, show, showFigure, when } from './phrases.ts';
import type { Report, RuleContext } from './rule.ts';

interface Stress {
  readonly electrode: string;
  readonly dissipation: FigureName & ('anode-dissipation' | 'screen-dissipation');
  readonly loading: FigureName & ('anode-loading' | 'screen-loading');
  readonly steps: readonly Step[];
  readonly advice: (loading: number, view: PhaseView) => string;
}

/** Reports each valve whose loading is above a step. */
export function* reportStress(context: RuleContext, stress: Stress): Iterable<Report> {
  for (const view of context.verdictViews) {
    for (const loading of context.figures(view, stress.loading)) {
      const severity = severityOf(loading, stress.steps);
      const { limit } = loading;
      if (severity === undefined || limit === undefined) continue;
      const power = context
        .figures(view, stress.dissipation)
        .find((figure) => figure.subject === loading.subject);
      if (power === undefined) continue;
      yield {
        severity,
        subject: loading.subject,
        phase: view.phase,
        ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
        message: `${when(view)}, the ${stress.electrode} of ${loading.subject} dissipates ${showFigure(power)}${remarkOf(power)}: ${sayFigure(loading)} of ${show(limit.quantity)} (${limit.source}). ${stress.advice(loading.quantity.value, view)}${assumptions(power)}`,
        source: loading.source,
        figures: { [stress.loading]: loading.quantity, [stress.dissipation]: power.quantity },
        measure: stress.loading,
        limit: { quantity: limit.quantity, source: limit.source },
      };
    }
  }
}
