/** Owns the rule over-rated: a capacitor fitted in this job whose voltage rating is far above anything it can meet. */
import { sheetsOf, usualHighMains } from '../bench/derive/mains.ts';
import { isSignalNetwork } from '../bench/model.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const overRated = defineRule({
  id: 'over-rated',
  since: '0.1.0',
  category: 'ratings',
  severities: 'H >2.5× worst case',
  summary: 'A capacitor is rated far above the worst it can meet.',
  why: 'A high rating is never a fault. It costs size and money, and a very high-voltage electrolytic of the same case has less capacitance or more series resistance, so it is worth a thought before ordering.',
  howToFix:
    'Nothing needs doing. If space or price matters, the worst case in the message says what would be enough.',
  source: 'high mains by the standard that the message names; the factor is common practice, no source',
  options: {
    times: { default: 2.5, unit: '1', means: 'rating over the worst case' },
    least: { default: 100, unit: 'V', means: 'ratings below this are never remarked on' },
  },
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- C40 = 22uF 160V electrolytic, bias to gnd -> 22uF 450V electrolytic\n\n## As left\n\n- bias: -41 V\n',
    names: 'C40',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- C40 = 22uF 160V electrolytic, bias to gnd -> 22uF 100V electrolytic\n\n## As left\n\n- bias: -41 V\n',
  },
  check({ verdictViews, amplifier, figures, option }) {
    const reports: Report[] = [];
    if (amplifier.changes.length === 0) return reports;
    const high = usualHighMains(sheetsOf(amplifier));
    for (const view of verdictViews) {
      for (const voltage of figures(view, 'voltage')) {
        const part = view.parts.get(voltage.subject);
        const rating = part?.ratings.voltage;
        if (part?.class !== 'capacitor' || rating === undefined || rating.quantity.value < option('least'))
          continue;
        if (
          !amplifier.changes.some(
            (change) => change.ref === part.ref && change.is !== undefined && !change.planned,
          )
        )
          continue;
        const role = view.roles.get(part.ref)?.role;
        // A coupling capacitor meets the whole supply with the valve cold, and a part of unknown role may meet anything.
        if (role === 'coupling' || role === undefined || role === 'unknown' || isSignalNetwork(role))
          continue;
        const worst = Math.abs(voltage.quantity.value) * high.factor;
        if (rating.quantity.value <= worst * option('times')) continue;
        reports.push({
          severity: 'hint',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.ref} is rated ${showValue(rating.quantity.value, 'V')} and meets ${showValue(worst, 'V')} at high mains (${high.trust.source}). That is no fault; a lower rating would be enough.`,
          source: rating.source ?? voltage.source,
          figures: { voltage: voltage.quantity },
          measure: 'voltage',
          limit: { quantity: rating.quantity, source: 'working voltage marked on the part' },
        });
      }
    }
    return reports;
  },
});
