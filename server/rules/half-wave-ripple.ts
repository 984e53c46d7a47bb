/** Owns the rule half-wave-ripple: ripple at the mains frequency where a full-wave supply makes twice that. */

import { mainsFrequency, sheetsOf } from '../bench/derive/mains.ts';
import { rippleFrequency } from '../electronics/ripple.ts';
import { hertz } from '../units/si.ts';
import { show } from './phrases.ts';
import { readingsThat } from './readings-that.ts';
import { isFullWave, rectifiersAt } from './rectifiers.ts';
import { defineRule, type Report } from './rule.ts';
import { momentOf } from './valve-circuit.ts';

export const halfWaveRipple = defineRule({
  id: 'half-wave-ripple',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary: 'A full-wave supply ripples at the mains frequency.',
  why: 'Two halves of a rectifier fill the reservoir twice in each cycle of the mains, so its ripple has twice the mains frequency. Ripple at the mains frequency itself means that one half gives nothing: half of the winding is open, or one anode or diode is dead. The other half carries it all, and hums twice as loud.',
  howToFix:
    'With the power off, measure both halves of the winding and both halves of the rectifier. With the power on, read the alternating volts at each anode of the rectifier against the centre tap with care: they should be alike.',
  source: 'definition: two pulses in a cycle',
  options: {
    within: { default: 0.1, unit: '1', means: 'how near to the mains frequency the ripple must be' },
  },
  bad: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- B+1: 310 V\n- B+1: 22 Vpp 50 Hz\n',
    names: 'B+1',
  },
  good: {
    sheet:
      '---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n- T1 = mains 280-0-280V 120mA 5V 2A\n- V9 = GZ34, T1 to B+1\n- C1 = 32uF 500V electrolytic, B+1 to gnd\n- B+1: 310 V\n- B+1: 16 Vpp 100 Hz\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { amplifier, sheet } = context;
    for (const view of context.verdictViews) {
      for (const reading of readingsThat(view, 'of ripple', ({ quantity: of }) => of === 'ripple')) {
        const { quantity, node, frequency: read, set, normal } = reading;
        if (quantity !== 'ripple' || node === undefined || read === undefined || !normal) continue;
        if (set.id !== view.verdictSet?.id || reading.source.file !== sheet.uri) continue;
        const frequency = mainsFrequency(sheetsOf(amplifier))?.known.quantity.value;
        if (frequency === undefined) continue;
        const healthy = rippleFrequency(hertz(frequency), 'full-wave');
        if (!healthy.ok) continue;
        if (Math.abs(read.value / frequency - 1) > context.option('within')) continue;
        const rectifiers = rectifiersAt(view, node);
        if (!isFullWave(rectifiers)) continue;
        const ripple = context.figures(view, 'ripple').find(({ subject }) => subject === node);
        reports.push({
          severity: 'error',
          subject: node,
          ...momentOf(view),
          tellsPhase: true,
          message: `${node} ripples at ${show(read)}, the frequency of the mains; ${rectifiers.map(({ ref }) => ref).join(', ')} ${rectifiers.length === 1 ? 'is' : 'are'} full-wave and should make ${show({ value: healthy.value, unit: 'Hz' })}. One half gives nothing: measure both halves of the winding and of the rectifier, power off.`,
          source: reading.source,
          figures: {
            'ripple-frequency': read,
            ...(ripple === undefined ? {} : { ripple: ripple.quantity }),
          },
          measure: 'ripple',
          limit: { quantity: { value: healthy.value, unit: 'Hz' }, source: 'twice the mains frequency' },
          explains: [
            ...view.circuit.attached(node).map(({ ref }) => ({ rule: 'excess-ripple', subject: ref })),
            { rule: 'off-nominal', subject: node },
          ],
        });
      }
    }
    return reports;
  },
});
