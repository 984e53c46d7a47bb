/** Owns the rule insulation-low: mains side and chassis that are not well enough apart. */

import { OPEN_OHMS } from '../bench/model.ts';
import { insulationReadings } from './mains-safety.ts';
import { show } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const insulationLow = defineRule({
  id: 'insulation-low',
  since: '0.1.0',
  category: 'readings',
  severities: 'W <1 MΩ',
  summary: 'The insulation between the mains side and the chassis is low.',
  why: 'Less than a megohm between a line conductor and the chassis is damp, carbonised board, a leaking capacitor from line to chassis, or a mains transformer whose insulation is failing. The earth carries it off until the day the earth is lifted.',
  howToFix:
    'Disconnect in turn: suppression capacitors, switch, fuse holder, then the transformer’s primary. Measure each alone. Local codes and licensed practice decide what may leave the bench.',
  source: 'customary limit of insulation tests at 500 V; local codes decide (common practice, no source)',
  options: {
    warning: { default: 1e6, unit: 'Ohm', means: 'insulation below which it is a warning' },
  },
  bad: { sheet: '# Job\n\n## As found\n\n- line to chassis: 220k\n', names: 'line' },
  good: { sheet: '# Job\n\n## As found\n\n- line to chassis: 40M\n' },
  check(context) {
    const reports: Report[] = [];
    const limit = context.option('warning');
    const isLow = (ohms: number): boolean => ohms < limit;
    const asLeft = context.verdictViews.find(({ phase }) => phase === 'as-left');
    const left = asLeft === undefined ? [] : insulationReadings(asLeft);
    for (const view of context.verdictViews) {
      for (const reading of insulationReadings(view)) {
        if (reading.source.file !== context.sheet.uri) continue;
        const read = reading.special === 'open' ? OPEN_OHMS : reading.value.quantity.value;
        if (!isLow(reading.value.high ?? read)) continue;
        const again = left.find(({ at, to }) => at === reading.at && to === reading.to);
        const isMended =
          view.phase === 'as-found' && again !== undefined && !isLow(again.value.quantity.value);
        reports.push({
          severity: isMended ? 'info' : 'warning',
          subject: reading.at,
          phase: view.phase,
          set: reading.set,
          tellsPhase: true,
          message: `${reading.at} to ${reading.to === undefined || reading.to === 'gnd' ? 'chassis' : reading.to} reads ${show(reading.value.quantity)}; ${show({ value: limit, unit: 'Ohm' })} is the customary least (house rule; local codes decide). Disconnect in turn and measure each alone: suppression capacitors, switch, transformer.${isMended ? ' As left it is above that.' : ''}`,
          source: reading.source,
          figures: { insulation: reading.value.quantity },
          limit: { quantity: { value: limit, unit: 'Ohm' }, source: 'house rule; local codes decide' },
        });
      }
    }
    return reports;
  },
});
