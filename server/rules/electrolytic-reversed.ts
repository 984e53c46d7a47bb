/** Owns the rule electrolytic-reversed: an electrolytic whose marked plus stands below its other end. */
import { partsOfClass } from '../bench/by-class.ts';
import type { PhaseView } from '../bench/model.ts';
import { show, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { momentOf } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const electrolyticReversed = defineRule({
  id: 'electrolytic-reversed',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary: 'An electrolytic stands with its plus below its minus.',
  why: 'A reversed electrolytic passes current, heats up, and vents or bursts, in the bias supply most of all: there the plus belongs to the chassis, and every other can in the amplifier teaches the hand otherwise. With it goes the bias.',
  howToFix:
    'Switch off and discharge. Renew the capacitor, a reversed one is spoilt, and fit it the other way round. The polarity is only known where it is written (`plus at gnd`).',
  source:
    'what an electrolytic is; the volts that one endures backwards are a house rule (common practice, no source)',
  options: {
    reverse: { default: 1, unit: 'V', means: 'reverse volts above which it is reported' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C32 = 47uF 100V electrolytic, bias to gnd, plus at bias\n- bias: -46 V\n',
    names: 'C32',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C32 = 47uF 100V electrolytic, bias to gnd, plus at gnd\n- bias: -46 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, 'capacitor')) {
        const plus = part.terminals.get('plus');
        if (plus === undefined || part.kinds.includes('bipolar')) continue;
        const ends = new Set([...part.terminals.values()].filter((node) => node !== plus));
        const [minus] = ends;
        if (minus === undefined || ends.size > 1) continue;
        const above = voltsOf(view, plus);
        const below = voltsOf(view, minus);
        if (above === undefined || below === undefined) continue;
        const reverse = below.volts - above.volts;
        if (reverse <= context.option('reverse') + above.off + below.off) continue;
        const source = above.source ?? below.source;
        if (source === undefined || source.file !== context.sheet.uri) continue;
        reports.push({
          severity: 'error',
          subject: part.ref,
          ...momentOf(view),
          tellsPhase: true,
          message: `the plus of ${part.ref} at ${plus} stands ${showValue(reverse, 'V')} below its other end at ${minus}; more than ${show({ value: context.option('reverse'), unit: 'V' })} the wrong way (house rule) spoils an electrolytic and may burst it. Switch off, discharge, fit a new one the other way round.`,
          source,
          figures: { reverse: { value: reverse, unit: 'V' } },
          limit: {
            quantity: { value: context.option('reverse'), unit: 'V' },
            source: 'house rule; common practice, no source',
          },
          related: [
            { subject: part.ref, message: 'its polarity is written here.', source: part.source },
          ].filter((each) => each.source.file === context.sheet.uri),
          explains: [
            { rule: 'over-voltage', subject: part.ref },
            { rule: 'excess-ripple', subject: part.ref },
          ],
        });
      }
    }
    return reports;
  },
});

function voltsOf(view: PhaseView, node: string) {
  if (node === 'gnd') return { volts: 0, off: 0, source: undefined };
  const reading = findVolts(view, node);
  return reading === undefined
    ? undefined
    : { volts: reading.value.quantity.value, off: reading.uncertainty, source: reading.source };
}
