/** Owns the rule earth-high: a protective earth that is not there, or not good enough. */
import { earthReading } from './mains-safety.ts';
import { show } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const earthHigh = defineRule({
  id: 'earth-high',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >0.5 Ω, E open',
  summary: 'The protective earth between plug and chassis is high or missing.',
  why: 'The earth is what blows the fuse before the chassis, the strings and the player become live. A high one is a loose screw or a frayed cord; an open one is a hazard whatever else is well. That is why an open one is an error and a high one a warning.',
  howToFix:
    'Renew the cord, bond the earth to the chassis by its own screw and lock washer, and measure again from the pin of the plug. Local codes and licensed practice decide what may leave the bench; an amplifier declared class II has none.',
  source: 'customary limit of earth continuity tests; local codes decide (common practice, no source)',
  options: {
    warning: {
      default: 0.5,
      unit: 'Ohm',
      means: 'resistance from the earth pin to the chassis that is a warning',
    },
  },
  bad: { sheet: '# Job\n\n## As found\n\n- earth to chassis: 1.4R\n', names: 'earth' },
  good: { sheet: '# Job\n\n## As found\n\n- earth to chassis: 0.1R\n' },
  check(context) {
    const reports: Report[] = [];
    const limit = context.option('warning');
    const asLeft = context.verdictViews.find(({ phase }) => phase === 'as-left');
    const left = asLeft && earthReading(asLeft);
    const isMended = left !== undefined && left.special === undefined && left.value.quantity.value <= limit;
    for (const view of context.verdictViews) {
      const reading = earthReading(view);
      if (reading === undefined || reading.source.file !== context.sheet.uri) continue;
      const isOpen = reading.special === 'open';
      if (!isOpen && (reading.value.low ?? reading.value.quantity.value) <= limit) continue;
      const now =
        view.phase === 'as-found' && isMended ? ` As left it reads ${show(left.value.quantity)}.` : '';
      reports.push({
        severity: now !== '' ? 'info' : isOpen ? 'error' : 'warning',
        subject: 'earth',
        phase: view.phase,
        set: reading.set,
        tellsPhase: true,
        message: `the earth pin to the chassis reads ${isOpen ? 'open' : show(reading.value.quantity)}; ${show({ value: limit, unit: 'Ohm' })} is the customary limit (house rule; local codes decide). Mend cord and earth screw, and measure again.${now}`,
        source: reading.source,
        ...(isOpen ? {} : { figures: { resistance: reading.value.quantity } }),
        limit: { quantity: { value: limit, unit: 'Ohm' }, source: 'house rule; local codes decide' },
      });
    }
    return reports;
  },
});
