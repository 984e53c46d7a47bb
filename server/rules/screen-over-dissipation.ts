/** Owns the rule screen-over-dissipation: a screen grid that dissipates too much of its rating at idle. */
import { defineRule } from './rule.ts';
import { reportStress } from './valve-stress.ts';

export const screenOverDissipation = defineRule({
  id: 'screen-over-dissipation',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >80 %, E >100 %',
  summary: 'A screen grid dissipates too much at idle.',
  why: 'Screen current rises three- to fivefold at full drive, so a screen near its rating at idle is far above it when played. Screens fail before anodes do.',
  howToFix:
    'Check that the anode has its voltage (a valve without anode volts sends all its current to the screen), then the screen resistor: 470 Ω to 1 kΩ a valve is usual.',
  source:
    'the valve’s data sheet and its rating system, both named in the message; the sheet’s full-drive allowance is for moments',
  options: {
    warning: { default: 0.8, unit: '1', means: 'share of the rating that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- R31 = 1k 1W, B+2 to V5.g2\n- B+2: 322 V\n- V5: a 331, g2 314, k 19.4\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- R31 = 1k 1W, B+2 to V5.g2\n- B+2: 272 V\n- V5: a 291, g2 269, k 15.4\n',
  },
  check: (context) =>
    reportStress(context, {
      electrode: 'screen',
      dissipation: 'screen-dissipation',
      loading: 'screen-loading',
      steps: [
        { severity: 'error', above: context.option('error') },
        { severity: 'warning', above: context.option('warning') },
      ],
      advice: () =>
        'At full drive it takes several times that. Check the anode voltage and the screen resistor.',
    }),
});
