/** Owns the rule halves-unequal: halves of a winding that differ, or a winding far from what its sheet says. */
import { partsOfClass } from '../bench/by-class.ts';
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { mismatch } from '../electronics/mismatch.ts';
import { ohms } from '../units/si.ts';
import { shareOf, show, showDeparture, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const halvesUnequal = defineRule({
  id: 'halves-unequal',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >15 % between halves; W >30 % against its sheet',
  summary: 'The halves of a winding differ in resistance, or a winding differs from its sheet.',
  why: 'The half that is wound outside has the longer wire, so a tenth of difference is normal and says nothing of the turns. Much more, or a winding far from the same model’s, can be shorted turns, a tap between the wrong leads, or another transformer.',
  howToFix:
    'Measure again cold, with the leads off. Compare the halves by turns, not by ohms: a small alternating voltage on the secondary gives equal volts on both halves of a good primary. Hot copper reads about 12 % more for each 30 °C.',
  source: 'layered windings; the limits are house rules (common practice, no source)',
  options: {
    halves: {
      default: 0.15,
      unit: '1',
      means: 'difference of the halves over their mean that is information',
    },
    sheet: { default: 0.3, unit: '1', means: 'departure from the sheet that is a warning' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- T2 = output 8k : 8R 15W, V5.a V6.a, ct B+1\n- T2: 138R + 92R\n',
    names: 'T2',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- T2 = output 8k : 8R 15W, V5.a V6.a, ct B+1\n- T2: 138R + 124R\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, 'transformer', 'inductor')) {
        const own = part.measured.filter(
          ({ phase, nominal, special, source }) =>
            phase === view.phase && !nominal && special === undefined && source.file === context.sheet.uri,
        );
        const report = againstSheet(context, view, part, own) ?? betweenHalves(context, view, part, own);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

function betweenHalves(
  context: RuleContext,
  view: PhaseView,
  part: FittedPart,
  own: readonly BenchReading[],
): Report | undefined {
  const reading = own.findLast(({ quantity }) => quantity === 'halves');
  const second = reading?.second?.quantity;
  if (reading === undefined || second === undefined) return undefined;
  const first = reading.value.quantity;
  const apart = mismatch(ohms(first.value), ohms(second.value));
  // A two-wire meter and its leads count on windings of a few ohms.
  const off = (2 * reading.uncertainty + 0.2) / ((Math.abs(first.value) + Math.abs(second.value)) / 2 || 1);
  if (!apart.ok || apart.value - off <= context.option('halves')) return undefined;
  return {
    severity: 'info',
    subject: part.ref,
    phase: view.phase,
    set: reading.set,
    tellsPhase: true,
    message: `the halves of ${part.ref} read ${show(first)} and ${show(second)}: ${shareOf(apart.value)} their mean apart, above ${showShare(context.option('halves'))} (house rule; layered windings make a tenth by themselves). Compare their turns with a small alternating voltage on the secondary.`,
    source: reading.source,
    figures: { mismatch: { value: apart.value, unit: '1' } },
    limit: {
      quantity: { value: context.option('halves'), unit: '1' },
      source: 'house rule; common practice, no source',
    },
  };
}

/** A winding against what the chassis sheet read on it, or against the resistance marked beside its inductance. */
function againstSheet(
  context: RuleContext,
  view: PhaseView,
  part: FittedPart,
  own: readonly BenchReading[],
): Report | undefined {
  for (const of of ['halves', 'resistance'] as const) {
    const reading = own.findLast(({ quantity }) => quantity === of);
    if (reading === undefined) continue;
    const said = part.measured.findLast(
      ({ quantity, source, special }) =>
        quantity === of && special === undefined && source.file !== context.sheet.uri,
    );
    const pairs: (readonly [read: number | undefined, should: number | undefined])[] =
      said !== undefined
        ? [
            [reading.value.quantity.value, said.value.quantity.value],
            [reading.second?.quantity.value, said.second?.quantity.value],
          ]
        : of === 'resistance' && part.resistance !== undefined
          ? [[reading.value.quantity.value, part.resistance.quantity.value]]
          : [];
    for (const [read, should] of pairs) {
      if (read === undefined || should === undefined || should <= 0) continue;
      const departure = read / should - 1;
      const off = (reading.uncertainty + 0.2) / should;
      if (Math.abs(departure) - off <= context.option('sheet')) continue;
      return {
        severity: 'warning',
        subject: part.ref,
        phase: view.phase,
        set: reading.set,
        tellsPhase: true,
        message: `a winding of ${part.ref} reads ${showValue(read, 'Ohm')} where its sheet says ${showValue(should, 'Ohm')}: ${showDeparture(departure)}, beyond ${showShare(context.option('sheet'))} (house rule). Hot copper makes a tenth; the rest is shorted turns, a bad joint, the wrong leads or another transformer. Measure it cold, leads off.`,
        source: reading.source,
        figures: { departure: { value: departure, unit: '1' } },
        limit: { quantity: { value: should, unit: 'Ohm' }, source: 'the sheet’s own resistance' },
      };
    }
  }
  return undefined;
}
