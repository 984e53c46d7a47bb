/** Owns the rule anode-over-dissipation: a valve that idles above the anode dissipation of its own rating system. */
import { isFixedBiasOutput } from './bias-kind.ts';
import { defineRule } from './rule.ts';
import { namesIn } from './subject.ts';
import { reportStress } from './valve-stress.ts';

export const anodeOverDissipation = defineRule({
  id: 'anode-over-dissipation',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I 90–100 %, W >100 %, E >125 %',
  summary: 'A valve idles above its anode dissipation.',
  why: 'Anode dissipation is what the valve turns into heat: anode-to-cathode volts times anode current, which is cathode current less screen current. Above the rating the anode glows, gas comes out and the current runs away.',
  howToFix:
    'Check the readings’ points first, then what sets the bias: cathode resistor, grid leak, coupling capacitor, bias supply. Only then the valve. If it is the design, a larger cathode resistor brings it down.',
  source:
    'the valve’s data sheet and its rating system, both named in the message; a published push-pull EL34 point itself computes 106 %',
  options: {
    info: { default: 0.9, unit: '1', means: 'share of the rating that is information' },
    warning: { default: 1, unit: '1', means: 'share that is a warning' },
    error: { default: 1.25, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 330R 5W, V5.k to gnd\n- V5: a 361, g2 352, k 19.4\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 680R 5W, V5.k to gnd\n- V5: a 311, g2 302, k 19.4\n',
  },
  check(context) {
    const reports = reportStress(context, {
      electrode: 'anode',
      dissipation: 'anode-dissipation',
      loading: 'anode-loading',
      steps: [
        { severity: 'error', above: context.option('error') },
        { severity: 'warning', above: context.option('warning') },
        { severity: 'info', above: context.option('info') },
      ],
      advice: (loading, low) =>
        low > 1
          ? 'Look at what sets its bias before the valve itself.'
          : loading > 1
            ? 'That is at the rating as near as can be told: reading the screen current decides it.'
            : 'That is hard running, within the rating.',
    });
    return reports.filter(({ phase: of, subject }) => {
      const view = context.verdictViews.find(({ phase }) => phase === of);
      // Nothing holds a valve in fixed bias back: fixed-bias-hot judges it, more strictly.
      return view === undefined || !isFixedBiasOutput(view, namesIn(subject)[0] ?? '');
    });
  },
});
