/** Owns the rule cathode-over-current: a valve whose cathode gives more at idle than its data sheet allows. */
import { severityOf, shareOfLimit } from './bands.ts';
import { findFigure } from './figure-of.ts';
import { assumptions, remarkOf, shareOf, showFigure, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { findAverage, sayNames, subjectOf } from './subject.ts';

export const cathodeOverCurrent = defineRule({
  id: 'cathode-over-current',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >90 %, E >100 %',
  summary: 'A cathode gives more current at idle than its data sheet allows.',
  why: 'The limit is what the coating can give for its life. A low supply can keep the dissipation within its rating while the cathode is worn out early. Where the dissipation is exceeded by as much, the rule of the dissipation says it.',
  howToFix:
    'Check the cathode resistor or the bias, then what pulls the grid up. Two valves in place of one halve the current each.',
  source: 'the valve’s data sheet and its rating system, both named in the message',
  options: {
    warning: { default: 0.9, unit: '1', means: 'share of the limit that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- V5 = EL84\n- R17 = 82R 5W, V5.k to gnd\n- V5: a 171, g2 168, k 5.9\n',
    names: 'V5',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- V5 = EL84\n- R17 = 150R 5W, V5.k to gnd\n- V5: a 231, g2 228, k 6.9\n',
  },
  check({ verdictViews, figures, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      const told = new Set<string>();
      for (const current of figures(view, 'cathode-current')) {
        const valve = view.parts.get(current.subject)?.type?.valve;
        const limit = valve?.limits.cathodeCurrent;
        if (valve === undefined || limit === undefined) continue;
        const loading = shareOfLimit(current, limit.value);
        const share = loading.quantity;
        const severity = severityOf(loading, [
          { severity: 'error', above: option('error') },
          { severity: 'warning', above: option('warning') },
        ]);
        if (severity === undefined) continue;
        // The same current may break the anode's rating by as much: that is the finding then, and this is what follows.
        const anode = findFigure({ figures }, view, 'anode-loading', current.subject);
        if (anode !== undefined && anode.quantity.value > 1 && anode.quantity.value >= share.value) continue;
        const average = findAverage(current);
        const key = `${average} ${valve.type}`;
        if (average !== undefined && told.has(key)) continue;
        told.add(key);
        const fellows = figures(view, 'cathode-current').filter(
          (each) =>
            each === current ||
            (average !== undefined &&
              findAverage(each) === average &&
              view.parts.get(each.subject)?.type?.valve === valve),
        );
        const subject = subjectOf(fellows.map((each) => each.subject));
        const whose = fellows.length === 1 ? subject : `each of ${sayNames(subject)}`;
        const system = limit.system ?? valve.system;
        reports.push({
          severity,
          subject,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `the cathode of ${whose} gives ${showFigure(current)}${remarkOf(current)} at idle: ${shareOf(share.value)} the ${showValue(limit.value, 'A')} that ${valve.type} allows (${system}, ${limit.trust.source}). Look at what sets its bias before the valve itself.${assumptions(current)}`,
          source: current.source,
          figures: { 'cathode-current': current.quantity },
          measure: 'cathode-current',
          limit: {
            quantity: { value: limit.value, unit: 'A' },
            source: `${valve.type}, ${system}, ${limit.trust.source}`,
          },
        });
      }
    }
    return reports;
  },
});
