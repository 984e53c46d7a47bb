/** Owns the rule residual-voltage: a point that was read while powered down still held a dangerous voltage. */

import type { BenchReading } from '../bench/model.ts';
import { show, showValue } from './phrases.ts';
import { readingsThat } from './readings-that.ts';
import { defineRule, type Report } from './rule.ts';

export const residualVoltage = defineRule({
  id: 'residual-voltage',
  since: '0.1.0',
  category: 'record',
  severities: 'W >30 V, E >60 V',
  summary: 'A point read with the amplifier off still holds voltage.',
  why: 'A can behind the standby switch is often cut off from every bleeder, a bleeder may be open, and charge comes back by itself after a discharge. This is the voltage that a hand meets with the plug already out.',
  howToFix:
    'Discharge that point through a resistor (1 to 10 kΩ, 5 to 10 W, insulated lead), never by a short, meter it again and write that reading too: the last one counts. Leave a bleed lead clipped on, and find out why it was not bled.',
  source:
    '30 V: common practice, no source; 60 V: IEC 62368-1, energy source class 1 in dry conditions (from memory, unverified), which is not a service target',
  options: {
    warning: { default: 30, unit: 'V', means: 'above this a point is not discharged' },
    error: { default: 60, unit: 'V', means: 'above this it is a hazard' },
  },
  bad: {
    sheet: '# Job\n\n## Work\n\n- plug out, discharged through 10k: B+1: 3 V, B+2: 71 V\n',
    names: 'B+2',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out: B+2: 71 V\n- plug out, discharged through 10k: B+1: 3 V, B+2: 2 V\n',
  },
  check({ amplifier, sheet, option }) {
    const reports: Report[] = [];
    if (sheet.kind !== 'job') return reports;
    const last = new Map<string, BenchReading>();
    for (const view of amplifier.phases) {
      for (const reading of readingsThat(view, 'volts while off', isVoltsOff)) {
        if (reading.source.file !== sheet.uri) continue;
        const place = placeOf(reading);
        const before = last.get(place);
        // Phases may stand in the sheet out of their order; what was written last was read last.
        if (before === undefined || before.source.span.start <= reading.source.span.start)
          last.set(place, reading);
      }
    }
    for (const [place, reading] of last) {
      const volts = Math.abs(reading.value.quantity.value);
      if (volts <= option('warning')) continue;
      const isHazard = volts > option('error');
      const limit = option(isHazard ? 'error' : 'warning');
      reports.push({
        severity: isHazard ? 'error' : 'warning',
        subject: place,
        phase: reading.phase,
        set: reading.set,
        message: `With the amplifier off, ${place} still held ${show(reading.value.quantity)}, more than ${showValue(limit, 'V')} (${isHazard ? 'IEC 62368-1, dry conditions' : 'common practice'}), and no later reading shows it discharged. Discharge it through a resistor, meter it again and write that reading; find out what should have bled it.`,
        source: reading.source,
        figures: { voltage: { value: volts, unit: 'V' } },
        limit: {
          quantity: { value: limit, unit: 'V' },
          source: isHazard ? 'IEC 62368-1, dry conditions; no service target' : 'common practice, no source',
        },
      });
    }
    return reports;
  },
});

/** Whether the amplifier was switched off, unplugged or discharged when this was read. */
export function isOff({ set, conditions }: BenchReading): boolean {
  return set.off || conditions.some(({ kind }) => kind === 'off' || kind === 'discharged');
}

function isVoltsOff(reading: BenchReading): boolean {
  return reading.quantity === 'voltage' && isOff(reading);
}

function placeOf({ node, at, to, toNode }: BenchReading): string {
  const one = node ?? at;
  const other = toNode ?? to;
  return other === undefined || other === 'gnd' ? one : `${one} to ${other}`;
}
