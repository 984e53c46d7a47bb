/** Owns the rule capacitance-low: a capacitor that measures far below its marking, out of circuit. */
import { partsOfClass } from '../bench/by-class.ts';
import { shareOf, show } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const capacitanceLow = defineRule({
  id: 'capacitance-low',
  since: '0.1.0',
  category: 'readings',
  severities: 'W <80 %, E <50 %; I >150 % (the tester is misled by leakage)',
  summary: 'A capacitor measures far below its marking.',
  why: 'An electrolytic that has lost its electrolyte lets hum and the notes of other stages through. The direct voltage hardly falls, so only a capacitance meter or the ripple shows it.',
  howToFix:
    'Renew the part. Measure it with one end lifted: in circuit other capacitors lie parallel to it, and such a reading is not judged.',
  source:
    'the value marked on the part; the end of life of an electrolytic at −20 to −30 %: common practice, no source',
  options: {
    warning: { default: 0.8, unit: '1', means: 'share of the marking below which it is a warning' },
    error: { default: 0.5, unit: '1', means: 'share below which it is an error' },
    high: { default: 1.5, unit: '1', means: 'share above which the reading itself is doubted' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C11 = 47uF 500V electrolytic, B+1 to gnd\n- C11: 6.8uF (out of circuit)\n',
    names: 'C11',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C11 = 47uF 500V electrolytic, B+1 to gnd\n- C11: 45uF (out of circuit)\n',
  },
  check({ verdictViews, option }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const part of partsOfClass(view, 'capacitor')) {
        const marked = part.value?.quantity;
        if (marked === undefined || marked.unit !== 'F' || marked.value <= 0) continue;
        const reading = part.measured.findLast(
          ({ quantity, phase, nominal, special }) =>
            quantity === 'capacitance' && phase === view.phase && !nominal && special === undefined,
        );
        if (reading === undefined) continue;
        const conditions = [...reading.set.conditions, ...reading.conditions];
        if (conditions.some(({ kind }) => kind === 'in-circuit')) continue;
        const share = (reading.value.high ?? reading.value.quantity.value) / marked.value;
        const least = (reading.value.low ?? reading.value.quantity.value) / marked.value;
        if (share >= option('warning') && least <= option('high')) continue;
        const said = {
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          set: reading.set,
          source: reading.source,
          figures: { capacitance: reading.value.quantity },
          limit: { quantity: marked, source: 'marked on the part' },
        };
        const read = `${part.ref} measures ${show(reading.value.quantity)}: ${shareOf(reading.value.quantity.value / marked.value)} its marking ${show(marked)}.`;
        if (share < option('warning')) {
          reports.push({
            ...said,
            severity: share < option('error') ? 'error' : 'warning',
            message: `${read} It has dried out or gone open: renew it.`,
            explains: ['excess-ripple', 'esr-high'].map((rule) => ({ rule, subject: part.ref })),
          });
        } else {
          reports.push({
            ...said,
            severity: 'info',
            message: `${read} A tester that reads far too much is usually misled by leakage: measure the leakage at working voltage, or renew the part.`,
          });
        }
      }
    }
    return reports;
  },
});
