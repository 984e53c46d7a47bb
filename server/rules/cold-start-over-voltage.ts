/** Owns the rule cold-start-over-voltage: a capacitor that meets more than its working voltage while the valves are cold. */
import { findCapacitorKind, surgeVoltage } from '../catalogue/capacitor-facts.ts';
import { nextVoltageRating } from '../catalogue/standard-ratings.ts';
import { volts } from '../units/si.ts';
import { severityOf, shareOfLimit } from './bands.ts';
import { hasSlowRectifier, isInString } from './cold-supply.ts';
import { findFigure } from './figure-of.ts';
import { assumptions, shareOf, show, showFigure, showValue } from './phrases.ts';
import { adviseVoltage, ratingFix } from './rating-fix.ts';
import { defineRule, type Report } from './rule.ts';

export const coldStartOverVoltage = defineRule({
  id: 'cold-start-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities:
    'W >100 %, E >110 % (rated above 315 V) or >115 %; W at most behind an indirectly heated rectifier',
  summary: 'A capacitor meets more than its working voltage while the valves are cold.',
  why: 'Until the valves draw current the supply stands at the peak of the unloaded winding, and no dropper drops anything. At high mains that may be a third more than the warm reading. It comes at every switch-on, and stays as long as the output valves are out or the standby switch is open behind the capacitor. Behind an indirectly heated rectifier, which comes up with the valves, it is a warning at most.',
  howToFix:
    'Fit a part whose working voltage covers the cold supply, or a series pair with balancing resistors. An indirectly heated rectifier warms up with the valves and softens this, but not with the output valves pulled.',
  source:
    'the working voltage marked on the part; IEC 60384-4 for the surge rating; EN 50160 or ANSI C84.1 for high mains; the rise of a winding without load is common practice, no source',
  options: {
    warning: { default: 1, unit: '1', means: 'share of the working voltage that is a warning' },
    high: { default: 1.1, unit: '1', means: 'share that is an error, of a part rated above 315 V' },
    low: { default: 1.15, unit: '1', means: 'share that is an error, of a part rated 315 V or less' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 290-0-290V 150mA 6.3V 4A\n- D1, D2 = 1N4007, T1 to B+1\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n- B+1: 372 V\n',
    names: 'C21',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 240-0-240V 150mA 6.3V 4A 5V 2A\n- V9 = GZ34, T1 to B+1\n- C21 = 32uF 500V electrolytic, B+1 to gnd\n- B+1: 282 V\n',
  },
  check({ verdictViews, figures, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      const isSlow = hasSlowRectifier(view);
      for (const cold of figures(view, 'cold-voltage')) {
        const part = view.parts.get(cold.subject);
        const rating = part?.ratings.voltage;
        if (part === undefined || rating === undefined || !(rating.quantity.value > 0)) continue;
        // One of a string stands its share, which its balancing resistors and tolerances decide.
        if (isInString(view, part)) continue;
        const rated = rating.quantity.value;
        const running = findFigure({ figures }, view, 'voltage', part.ref);
        // Above its rating even when it runs: over-voltage says that.
        if (running !== undefined && running.quantity.value > rated) continue;
        const share = shareOfLimit(cold, rated);
        const severity = severityOf(share, [
          { severity: isSlow ? 'warning' : 'error', above: option(rated > 315 ? 'high' : 'low') },
          { severity: 'warning', above: option('warning') },
        ]);
        if (severity === undefined) continue;
        const surge =
          findCapacitorKind(part.kinds) === 'electrolytic'
            ? ` Its surge rating, ${showValue(surgeVoltage(volts(rated)).voltage, 'V')}, is for moments and no working voltage.`
            : '';
        const advice = adviseVoltage(cold.quantity.value);
        reports.push({
          severity,
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.ref} meets ${showFigure(cold)} while the valves are cold and the mains is high: ${shareOf(share.quantity.value)} its ${show(rating.quantity)} working voltage (marked on the part).${surge} ${advice}${isSlow ? ' The indirectly heated rectifier softens this, but not with the output valves pulled.' : ''}${assumptions(cold)}`,
          source: rating.source?.file === cold.file ? rating.source : cold.source,
          figures: { 'cold-voltage': cold.quantity },
          measure: 'cold-voltage',
          limit: { quantity: rating.quantity, source: 'working voltage marked on the part' },
          explains: [{ rule: 'rating-lowered', subject: part.ref }],
        });
      }
    }
    return reports;
  },
  fix: (context, finding) =>
    ratingFix(context, finding, 'voltage', nextVoltageRating(finding.figures?.['cold-voltage']?.value ?? 0)),
});
