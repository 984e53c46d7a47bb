/** Owns the rule mains-tap: a mains that is not what the primary is tapped for. */
import { allInRole } from '../bench/by-class.ts';
import { mainsVolts, sheetsOf } from '../bench/derive/mains.ts';
import type { PhaseView, Source } from '../bench/model.ts';
import { plainValue } from '../sheet/model.ts';
import { show, showDeparture, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf } from './valve-circuit.ts';

export const mainsTap = defineRule({
  id: 'mains-tap',
  since: '0.1.0',
  category: 'readings',
  severities:
    'W >5 %, E >10 % above the primary’s volts; W >10 % off the nominal mains where no tap is written',
  summary: 'The mains as read does not fit the primary tap.',
  why: 'A 117 V primary on 125 V raises every voltage in the amplifier by 7 %: heaters, anodes and the charge on every capacitor. The valves wear out, the reservoir stands above its rating, and the transformer saturates and hums. Where no tap is written, the primary is taken to be for the nominal mains, and only 10 % off that is told, as a warning.',
  howToFix:
    'Move the primary to the tap that fits, or run the amplifier from a transformer that brings the mains down to it. Compare with the mains that is usual there, not with one evening’s.',
  source:
    'the primary’s volts as written; within 5 % is good and within 10 % customary (common practice, no source; EN 50160 allows the mains itself 10 %)',
  options: {
    warning: { default: 0.05, unit: '1', means: 'excess over the tap that is a warning' },
    error: { default: 0.1, unit: '1', means: 'excess over the tap that is an error' },
    nominal: {
      default: 0.1,
      unit: '1',
      means: 'departure from the nominal mains, or below the tap, that is a warning',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 117V : 300-0-300V 120mA 6.3V 3A\n\nMains {mains: 125 V}, twenty minutes warm.\n\n- B+1: 352 V\n',
    names: 'T1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 120V : 300-0-300V 120mA 6.3V 3A\n\nMains {mains: 122 V}, twenty minutes warm.\n\n- B+1: 352 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const mains = view.verdictSet?.mains;
      if (mains === undefined) continue;
      const tap = tapOf(context, view);
      if (tap === undefined || !(tap.volts > 0)) continue;
      const excess = mains.value / tap.volts - 1;
      const severity =
        tap.isPrimary && excess > context.option('error')
          ? 'error'
          : (tap.isPrimary && excess > context.option('warning')) ||
              Math.abs(excess) > context.option('nominal')
            ? 'warning'
            : undefined;
      if (severity === undefined) continue;
      const source = mainsSource(context, view);
      if (source === undefined) continue;
      const limit = !tap.isPrimary || excess < 0 ? 'nominal' : severity;
      reports.push({
        severity,
        subject: tap.subject,
        ...momentOf(view),
        tellsPhase: true,
        message: `the mains reads ${show(mains)} and ${tap.says} ${showValue(tap.volts, 'V')}: ${showDeparture(excess)}, beyond ${showShare(context.option(limit))} (house rule). Every voltage follows it. Choose the tap that fits, or bring the mains to it.`,
        source,
        figures: { excess: { value: excess, unit: '1' } },
        limit: { quantity: { value: tap.volts, unit: 'V' }, source: tap.says },
        explains: [{ rule: 'heater-voltage-off', subject: 'heaters' }],
      });
    }
    return reports;
  },
});

interface Tap {
  readonly volts: number;
  readonly subject: string;
  readonly says: string;
  readonly isPrimary: boolean;
}

/** The one primary voltage that is written; of several nobody says which is in use. Else the mains that the sheet is for. */
function tapOf({ amplifier }: RuleContext, view: PhaseView): Tap | undefined {
  for (const { ref } of allInRole(view, 'mains-transformer')) {
    const primaries = (view.parts.get(ref)?.specification?.windings ?? []).flatMap(({ side, volts }) => {
      const value = side === 'primary' ? plainValue(volts)?.quantity : undefined;
      return value?.unit === 'V' ? [value.value] : [];
    });
    const [only] = primaries;
    if (only !== undefined && primaries.length === 1)
      return { volts: only, subject: ref, says: `the primary of ${ref} is for`, isPrimary: true };
    if (primaries.length > 1) return undefined;
  }
  const nominal = mainsVolts(sheetsOf(amplifier));
  return nominal === undefined
    ? undefined
    : { volts: nominal.known.quantity.value, subject: 'mains', says: 'the sheet is for', isPrimary: false };
}

/** Where the mains of the verdict was written. */
function mainsSource({ sheet }: RuleContext, view: PhaseView): Source | undefined {
  const { verdictSet } = view;
  if (verdictSet === undefined) return undefined;
  const reading = view.readings.findLast(
    ({ at, source, value }) =>
      at === 'mains' && source.file === sheet.uri && value.quantity.value === verdictSet.mains?.value,
  );
  if (reading !== undefined) return reading.source;
  const isHere = view.readings.some(
    ({ set, source }) => set.id === verdictSet.id && source.file === sheet.uri,
  );
  const condition = verdictSet.conditions.findLast(({ kind }) => kind === 'mains');
  return isHere ? { file: sheet.uri, span: condition?.span ?? verdictSet.span } : undefined;
}
