/** Owns the rule fixed-bias-hot: an output valve whose bias supply lets it idle too near its anode dissipation. */
import { isFixedBiasOutput } from './bias-kind.ts';
import { defineRule } from './rule.ts';
import { namesIn } from './subject.ts';
import { reportStress } from './valve-stress.ts';

export const fixedBiasHot = defineRule({
  id: 'fixed-bias-hot',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I >75 %, W >85 %, E >100 %',
  summary: 'An output valve in fixed bias idles too hot.',
  why: 'In fixed bias nothing holds the current back: as the valve ages, warms or the mains rises, it goes on rising. What is left over at idle is all the room there is. Half to seven tenths of the rating is where such amplifiers are set.',
  howToFix:
    'Check the bias volts at the grid itself and both of the pair, then set the bias more negative. If it cannot be set, look at the bias supply, the grid leak and the coupling capacitor before the valve.',
  source:
    'the valve’s data sheet and its rating system, both named in the message; the shares of it are common practice, no source',
  options: {
    info: { default: 0.75, unit: '1', means: 'share of the rating that is information' },
    warning: { default: 0.85, unit: '1', means: 'share that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- V5: a 448, g2 446, g -38.2\n- R43: 78 mV\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6L6GC\n- R16 = 100k 0.5W, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- V5: a 448, g2 446, g -44.2\n- R43: 41 mV\n',
  },
  check(context) {
    const { option } = context;
    const reports = reportStress(context, {
      electrode: 'anode',
      dissipation: 'anode-dissipation',
      loading: 'anode-loading',
      steps: [
        { severity: 'error', above: option('error') },
        { severity: 'warning', above: option('warning') },
        { severity: 'info', above: option('info') },
      ],
      advice: (loading) =>
        loading > option('warning')
          ? 'In fixed bias nothing holds it there: set the bias more negative, and look at the bias supply and the coupling capacitor if it cannot be.'
          : 'In fixed bias that is on the hot side.',
    });
    return reports.filter(({ phase: of, subject }) => {
      const view = context.verdictViews.find(({ phase }) => phase === of);
      return view !== undefined && isFixedBiasOutput(view, namesIn(subject)[0] ?? '');
    });
  },
});
