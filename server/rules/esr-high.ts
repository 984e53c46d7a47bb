/** Owns the rule esr-high: an electrolytic whose series resistance is far above what a new one may have. */
import { partsOfClass } from '../bench/by-class.ts';
import { highestNewSeriesResistance } from '../catalogue/capacitor-facts.ts';
import { farads, volts } from '../units/si.ts';
import { show, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const esrHigh = defineRule({
  id: 'esr-high',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >3×',
  summary: 'An electrolytic measures a series resistance far above that of a new one.',
  why: 'Series resistance rises as the electrolyte dries, often before the capacitance falls. It lets ripple and the notes of other stages through, and turns the ripple current into heat inside the can.',
  howToFix:
    'Renew the part. Measure it out of circuit and discharged; a reading taken in circuit is not judged, because other capacitors lie parallel to it.',
  source:
    'loss factors at 120 Hz that makers allow a new general-purpose electrolytic, by µF and volts; from memory, unverified',
  options: {
    warning: { default: 3, unit: '1', means: 'times the highest of a new one that are a warning' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C31 = 47uF 450V electrolytic, B+1 to gnd\n- C31: 42uF ESR 38R (out of circuit)\n',
    names: 'C31',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C31 = 47uF 450V electrolytic, B+1 to gnd\n- C31: 46uF ESR 1.2R (out of circuit)\n',
  },
  check({ verdictViews, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const part of partsOfClass(view, 'capacitor')) {
        const marked = part.value?.quantity;
        const rated = part.ratings.voltage?.quantity;
        if (marked?.unit !== 'F' || rated === undefined) continue;
        const reading = part.measured.findLast(
          ({ quantity, phase, nominal, special }) =>
            quantity === 'esr' && phase === view.phase && !nominal && special === undefined,
        );
        if (reading === undefined) continue;
        if ([...reading.set.conditions, ...reading.conditions].some(({ kind }) => kind === 'in-circuit'))
          continue;
        const highest = highestNewSeriesResistance(farads(marked.value), volts(rated.value));
        const least = (reading.value.low ?? reading.value.quantity.value) - reading.uncertainty;
        if (highest === undefined || least <= option('warning') * highest.resistance) continue;
        reports.push({
          severity: 'warning',
          subject: part.ref,
          phase: view.phase,
          set: reading.set,
          tellsPhase: true,
          message: `${part.ref} measures ${show(reading.value.quantity)} of series resistance; a new one of ${show(marked)} ${show(rated)} has at most ${showValue(highest.resistance, 'Ohm')} (${highest.trust.source}), and ${option('warning')} times that is the house rule. It has dried out: renew it.`,
          source: reading.source,
          figures: { esr: reading.value.quantity },
          limit: {
            quantity: { value: option('warning') * highest.resistance, unit: 'Ohm' },
            source: highest.trust.source,
          },
          explains: [{ rule: 'excess-ripple', subject: part.ref }],
        });
      }
    }
    return reports;
  },
});
