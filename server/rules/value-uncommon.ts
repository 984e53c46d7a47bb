/** Owns the rule value-uncommon: a part is newly fitted with a value that nobody makes. */
import type { FittedPart, PartChange } from '../bench/model.ts';
import { isUsualValue, nextPreferredDown, nextPreferredUp } from '../catalogue/preferred-values.ts';
import { writeQuantity } from '../units/write.ts';
import { show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const valueUncommon = defineRule({
  id: 'value-uncommon',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A newly fitted part has a value that is neither a preferred one nor an old one.',
  why: 'Parts come in preferred values. One that is in no series is more often a digit that slipped than a part that was found: 4.9 kΩ for 4.7 kΩ, 23 nF for 22 nF.',
  howToFix:
    'Correct the value; the neighbours in the series are offered. Where parts were selected or combined to it, leave it: a hint says no more than that.',
  source:
    'IEC 60063, E24 and for resistors E96; values of before the standard (0.02, 0.05, 0.25 µF; 8, 16, 32, 50 µF; 250, 500 pF; 25, 50, 250, 500 kΩ and the like): common practice, no source',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 23n 630V film\n',
    names: 'C14',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- C14 = 22n 400V, V3.a to V5.g -> 0.02uF 630V film\n- R4 = 100k -> 102k 1%\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { amplifier, sheet } = context;
    for (const change of amplifier.changes) {
      const uncommon = uncommonIn(change);
      if (uncommon === undefined || uncommon.source?.file !== sheet.uri) continue;
      const { quantity } = uncommon;
      const neighbours = neighboursOf(quantity.value).map((value) => show({ ...quantity, value }));
      reports.push({
        severity: 'hint',
        subject: change.ref,
        message: `${change.ref} is written as ${show(quantity)}, which is in no series of IEC 60063 and was no common value before it${neighbours.length === 0 ? '' : `; its neighbours are ${neighbours.join(' and ')}`}. Correct it, or leave it if the part was selected to this value.`,
        source: uncommon.source,
        figures: { value: quantity },
      });
    }
    return reports;
  },
  fix: (context, finding) => {
    const uncommon = context.amplifier.changes
      .filter(({ ref }) => ref === finding.subject)
      .map(uncommonIn)
      .find((each) => each?.source?.span.start === finding.source.span.start);
    if (uncommon === undefined || !isWholeValue(context, finding.source.span)) return [];
    return neighboursOf(uncommon.quantity.value).map((value) => {
      const text = writeQuantity({ ...uncommon.quantity, value }, { style: 'tag' });
      return {
        title: `Write ${text}`,
        safety: 'suggestion',
        edits: [{ span: finding.source.span, text }],
      };
    });
  },
});

/** Of a part that a change fits: its value, if nobody makes that. */
function uncommonIn({ is }: PartChange): FittedPart['value'] {
  const value = is?.value;
  // A string's members and a can's sections are made to order.
  if (is === undefined || value === undefined || is.string !== undefined) return undefined;
  if (value.low !== undefined || value.high !== undefined || !(value.quantity.value > 0)) return undefined;
  const of =
    is.class === 'capacitor'
      ? 'capacitor'
      : is.class === 'resistor' || is.class === 'potentiometer'
        ? 'resistor'
        : undefined;
  return of === undefined || isUsualValue(value.quantity.value, of) ? undefined : value;
}

function neighboursOf(value: number): readonly number[] {
  return [nextPreferredDown(value, 'E24'), nextPreferredUp(value, 'E24')].flatMap((each) => each ?? []);
}

/** Whether the span is one value by itself and not a longer stretch that holds it. */
function isWholeValue({ sheet }: RuleContext, { start, end }: { start: number; end: number }): boolean {
  return /^[\d.,]+\s?[a-zA-Z\u00b5\u03bc\u03a9\u2126]*\d*$/.test(sheet.snapshot.text.slice(start, end));
}
