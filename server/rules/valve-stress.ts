/** Owns what the two dissipation rules share: a valve's electrode held against the rating of its own system, said the same way. */
import type { Figure, FigureName, PhaseView } from '../bench/model.ts';
import { sayFigure } from '../bench/saying.ts';
import { type Step, severityOf } from './bands.ts';
import { assumptions, remarkOf, show, showFigure } from './phrases.ts';
import type { Report, RuleContext } from './rule.ts';
import { findAverage, sayNames, subjectOf } from './subject.ts';

interface Stress {
  readonly electrode: string;
  readonly dissipation: FigureName & ('anode-dissipation' | 'screen-dissipation');
  readonly loading: FigureName & ('anode-loading' | 'screen-loading');
  readonly steps: readonly Step[];
  /** What to do, by the share that is loaded and the low end of its band. */
  readonly advice: (loading: number, low: number) => string;
}

/** Reports each valve whose loading is above a step; valves of which only the average is known once, by the worst of them. */
export function reportStress(context: RuleContext, stress: Stress): readonly Report[] {
  const reports: Report[] = [];
  for (const view of context.verdictViews) {
    // Mostly nothing is loaded so much that it is worth a word.
    if (!context.figures(view, stress.loading).some((loading) => severityOf(loading, stress.steps))) continue;
    for (const together of stressesIn(context, view, stress)) {
      const [worst] = [...together].sort((a, b) => b.loading.quantity.value - a.loading.quantity.value);
      const limit = worst?.loading.limit;
      if (worst === undefined || limit === undefined) continue;
      const { loading, power } = worst;
      const severity = severityOf(loading, stress.steps);
      if (severity === undefined) continue;
      const subject = subjectOf(together.map((each) => each.loading.subject));
      const whose = together.length === 1 ? subject : `each of ${sayNames(subject)}`;
      reports.push({
        severity,
        subject,
        phase: view.phase,
        ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
        tellsPhase: true,
        message: `the ${stress.electrode} of ${whose} dissipates ${showFigure(power)}${remarkOf(power)}: ${sayFigure(loading)} of ${show(limit.quantity)} (${limit.source}). ${stress.advice(loading.quantity.value, loading.low ?? loading.quantity.value)}${assumptions(power)}`,
        source: loading.source,
        figures: { [stress.loading]: loading.quantity, [stress.dissipation]: power.quantity },
        measure: stress.loading,
        limit: { quantity: limit.quantity, source: limit.source },
      });
    }
  }
  return reports;
}

interface ValveStress {
  readonly loading: Figure;
  readonly power: Figure;
}

/** Alone, but for valves that are held against one limit and whose figures are the same average. */
function stressesIn(context: RuleContext, view: PhaseView, stress: Stress): Iterable<readonly ValveStress[]> {
  const groups = new Map<string, ValveStress[]>();
  for (const loading of context.figures(view, stress.loading)) {
    const power = context
      .figures(view, stress.dissipation)
      .find((figure) => figure.subject === loading.subject);
    if (power === undefined) continue;
    const average = findAverage(power);
    const key = average === undefined ? loading.subject : `${average} ${loading.limit?.source}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [{ loading, power }]);
    else group.push({ loading, power });
  }
  return groups.values();
}
