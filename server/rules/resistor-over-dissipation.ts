/** Owns the rule resistor-over-dissipation: a resistor that works above a sensible share of its derated power rating. */
import { sayFigure } from '../bench/saying.ts';
import { nextPowerRating } from '../catalogue/standard-ratings.ts';
import { severityOf } from './bands.ts';
import { show, showFigure } from './phrases.ts';
import { ratingFix } from './rating-fix.ts';
import { defineRule, type Report } from './rule.ts';
import { momentOf } from './valve-circuit.ts';

export const resistorOverDissipation = defineRule({
  id: 'resistor-over-dissipation',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I >60 %, W >85 %, E >150 %; I where no rating is written',
  summary: 'A resistor dissipates too much of its power rating.',
  why: 'A rating holds at 70 °C around the part. Beside output valves it is as warm as that, and a resistor run hard drifts, chars its board and ends open. Half the rating is what a maker should design to.',
  howToFix:
    'Fit the next power rating up, raised off the board. If the reading asks for far more than the circuit can take, check the point it was taken at first.',
  source:
    'the power rating marked on the part, derated from 70 °C; the shares are common practice, no source',
  options: {
    info: { default: 0.6, unit: '1', means: 'share of the derated rating that is information' },
    warning: { default: 0.85, unit: '1', means: 'share that is a warning' },
    error: { default: 1.5, unit: '1', means: 'share that is an error' },
    unrated: { default: 0.5, unit: 'W', means: 'power above which a missing rating is remarked on' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- R20 = 4k7 1W, B+1 to B+2\n- B+1: 352 V\n- B+2: 282 V\n',
    names: 'R20',
  },
  good: { sheet: '# Job\n\n## As found\n\n- R20 = 10k 1W, B+1 to B+2\n- B+1: 352 V\n- B+2: 301 V\n' },
  check({ verdictViews, figures, option, isOwn }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      const loadings = new Map(figures(view, 'loading').map((figure) => [figure.subject, figure]));
      for (const power of figures(view, 'dissipation')) {
        const part = view.parts.get(power.subject);
        if (part === undefined) continue;
        const loading = loadings.get(part.ref);
        if (loading === undefined) {
          // Only a resistor is sold by its watts: a choke has none, and its current is another rule's.
          const isRateable = part.class === 'resistor' || part.class === 'potentiometer';
          if (!isRateable || part.ratings.power !== undefined) continue;
          if (power.quantity.value <= option('unrated') || !isOwn(part)) continue;
          reports.push({
            ...momentOf(view),
            subject: part.ref,
            source: power.source,
            severity: 'info',
            tellsPhase: true,
            message: `${part.ref} dissipates ${showFigure(power)} and no power rating is written for it. Write the rating, so that it can be judged.`,
            figures: { dissipation: power.quantity },
            measure: 'dissipation',
          });
          continue;
        }
        const severity = severityOf(loading, [
          { severity: 'error', above: option('error') },
          { severity: 'warning', above: option('warning') },
          { severity: 'info', above: option('info') },
        ]);
        if (severity === undefined) continue;
        const rating = part.ratings.power?.quantity ?? loading.limit?.quantity;
        if (rating === undefined) continue;
        const next = nextPowerRating(power.quantity.value / option('info'));
        reports.push({
          ...momentOf(view),
          subject: part.ref,
          source: power.source,
          severity,
          tellsPhase: true,
          message: `${part.ref} dissipates ${showFigure(power)}: ${sayFigure(loading)} of its ${show(rating)} rating (${loading.limit?.source ?? 'marked on the part'}).${next === undefined ? '' : ` Fit ${show({ value: next, unit: 'W' })} or more, clear of the board.`}`,
          figures: { loading: loading.quantity, dissipation: power.quantity },
          measure: 'loading',
          limit: { quantity: rating, source: loading.limit?.source ?? 'power rating marked on the part' },
        });
      }
    }
    return reports;
  },
  fix: (context, finding) =>
    ratingFix(
      context,
      finding,
      'power',
      nextPowerRating((finding.figures?.dissipation?.value ?? 0) / context.option('info')),
    ),
});
