/** Owns the rule value-out-of-tolerance: a resistor measured far from its marking. */
import { partsOfClass } from '../bench/by-class.ts';
import { isReadInCircuit } from '../bench/model.ts';
import { show, showDeparture, showShare } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { offNominalOf, pairsOf, partsServing } from './valve-circuit.ts';

export const valueOutOfTolerance = defineRule({
  id: 'value-out-of-tolerance',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >20 %, W >50 % or open',
  summary: 'A resistor measures far from its marking, beyond its tolerance.',
  why: 'Carbon resistors drift upwards with heat and age, and end open. A high anode load lowers the anode and raises the gain; an open screen or cathode resistor stops the valve, which is then blamed for it.',
  howToFix:
    'Renew the part. A low reading taken in circuit proves nothing, because other paths lie parallel to it, and is not reported; a high one is real wherever it was taken.',
  source:
    'the value and tolerance marked on the part, or what is customary for its kind; common practice, no source',
  options: {
    info: { default: 0.2, unit: '1', means: 'departure from the marking that is information' },
    warning: { default: 0.5, unit: '1', means: 'departure that is a warning' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- R4 = 100k 0.5W carbon, B+3 to V1A.a\n- R4: 172k (out of circuit)\n',
    names: 'R4',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- R4 = 100k 0.5W carbon, B+3 to V1A.a\n- R4: 104k (out of circuit)\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { verdictViews, option } = context;
    for (const view of verdictViews) {
      for (const part of partsOfClass(view, 'resistor')) {
        const marked = part.value?.quantity;
        if (marked === undefined || marked.unit !== 'Ohm' || marked.value <= 0) continue;
        const reading = part.measured.findLast(
          ({ quantity, phase, nominal }) => quantity === 'resistance' && phase === view.phase && !nominal,
        );
        if (reading === undefined) continue;
        const isOpen = reading.special === 'open';
        const read = reading.value.quantity.value;
        const departure = read / marked.value - 1;
        // Leads and the meter's own zero count on small resistances: a two-wire meter reads about 0.1 Ω high.
        const beyond = Math.abs(read - marked.value) - reading.uncertainty - (marked.value < 100 ? 0.2 : 0);
        if (!isOpen && (beyond <= part.tolerance * marked.value || Math.abs(departure) <= option('info')))
          continue;
        // Low without a word of where: something may lie parallel to it.
        const isOut = [...reading.set.conditions, ...reading.conditions].some(
          ({ kind }) => kind === 'out-of-circuit',
        );
        if (departure < 0 && (isReadInCircuit(reading) || !isOut)) continue;
        const severity = isOpen || Math.abs(departure) > option('warning') ? 'warning' : 'info';
        const serves = view.roles.get(part.ref)?.serves ?? [];
        const tolerance = `±${showShare(part.tolerance)}${part.isToleranceMarked ? '' : ', customary for its kind'}`;
        reports.push({
          severity,
          subject: part.ref,
          phase: view.phase,
          ...(reading.set === undefined ? {} : { set: reading.set }),
          tellsPhase: true,
          message: isOpen
            ? `${part.ref} reads open; it is marked ${show(marked)}. Renew it, and ask what made it fail before power goes on.`
            : `${part.ref} reads ${show(reading.value.quantity)}, ${showDeparture(departure)} from its marking ${show(marked)} (${tolerance}). Renew it.`,
          source: reading.source,
          figures: isOpen
            ? {}
            : { resistance: reading.value.quantity, departure: { value: departure, unit: '1' } },
          limit: { quantity: marked, source: 'marked on the part' },
          explains: [
            ...(isOpen && view.roles.get(part.ref)?.role === 'grid-leak'
              ? serves.flatMap((subject) => OF_A_LOOSE_GRID.map((rule) => ({ rule, subject })))
              : []),
            ...consequences(
              part.ref,
              serves,
              serves.flatMap((valve) => pairsOf(context, view, valve)),
              serves
                .flatMap((valve) => partsServing(view, valve, 'cathode-bypass'))
                .map((bypass) => bypass.ref),
            ),
          ],
        });
      }
    }
    return reports;
  },
});

/** What a valve does whose grid hangs on nothing. */
const OF_A_LOOSE_GRID = [
  'anode-over-dissipation',
  'cathode-over-current',
  'fixed-bias-hot',
  'screen-over-dissipation',
];

/** What a drifted or open resistor brings with it: its own contradictions and those of the valves it serves. */
function consequences(
  ref: string,
  serves: readonly string[],
  pairs: readonly string[],
  bypasses: readonly string[],
) {
  return [
    { rule: 'contradictory-readings', subject: ref },
    { rule: 'wrong-point', subject: ref },
    ...serves.flatMap((subject) =>
      ['contradictory-readings', 'no-conduction', 'bottomed', 'cathode-high', 'cathode-low'].map((rule) => ({
        rule,
        subject,
      })),
    ),
    ...serves.flatMap(offNominalOf),
    ...pairs.map((subject) => ({ rule: 'mismatched-pair', subject })),
    ...bypasses.map((subject) => ({ rule: 'bypass-over-voltage', subject })),
  ];
}
