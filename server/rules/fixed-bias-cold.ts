/** Owns the rule fixed-bias-cold: an output valve that its bias supply all but shuts at idle. */
import type { PhaseView } from '../bench/model.ts';
import { isFixedBiasOutput } from './bias-kind.ts';
import { findFigure } from './figure-of.ts';
import { assumptions, remarkOf, show, showFigure } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { findVolts } from './voltages.ts';

export const fixedBiasCold = defineRule({
  id: 'fixed-bias-cold',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I <30 %',
  summary: 'An output valve in fixed bias idles cold.',
  why: 'A push-pull stage that idles near cut-off distorts where one valve hands over to the other, loudest to the ear at low volume. It harms nothing; it is told because it is often a bias control set by the wrong meter.',
  howToFix:
    'Compare with the maker’s figure if there is one. Else set the bias less negative until the valve idles at half to seven tenths of its rating. A valve whose partner is well set is worn or has lost its screen.',
  source:
    'the valve’s data sheet and its rating system, both named in the message; the share of it is common practice, no source',
  options: {
    info: { default: 0.3, unit: '1', means: 'share of the rating below which it is information' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- V5: a 448, g2 446, g -54.5\n- R43: 14.1 mV\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- V5: a 448, g2 446, g -44.2\n- R43: 41 mV\n',
  },
  check({ verdictViews, figures, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const loading of figures(view, 'anode-loading')) {
        const { subject, limit } = loading;
        const highest = loading.high ?? loading.quantity.value;
        if (limit === undefined || highest >= option('info')) continue;
        if (!isFixedBiasOutput(view, subject) || hasLostScreen(view, subject)) continue;
        const power = findFigure({ figures }, view, 'anode-dissipation', subject);
        if (power === undefined) continue;
        reports.push({
          severity: 'info',
          subject,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `the anode of ${subject} dissipates ${showFigure(power)}${remarkOf(power)} at idle: ${show(loading.quantity)} of ${show(limit.quantity)} (${limit.source}). That is cold for fixed bias and harms nothing; compare with the maker’s figure, or set the bias less negative.${assumptions(power)}`,
          source: loading.source,
          figures: { 'anode-loading': loading.quantity, 'anode-dissipation': power.quantity },
          measure: 'anode-loading',
          limit: { quantity: limit.quantity, source: limit.source },
        });
      }
    }
    return reports;
  },
});

/** A screen far below its anode has lost its supply: then it is not the bias that shuts the valve. */
function hasLostScreen(view: PhaseView, valve: string): boolean {
  const screen = findVolts(view, `${valve}.g2`)?.value.quantity.value;
  const anode = findVolts(view, `${valve}.a`)?.value.quantity.value;
  return screen !== undefined && anode !== undefined && screen < anode / 2;
}
