/** Owns the rule speaker-mismatch: loudspeakers whose impedance is not that of the tap they are on. */
import type { FittedPart } from '../bench/model.ts';
import { LOWEST_IMPEDANCE } from '../catalogue/loudspeaker-facts.ts';
import { findFigure } from './figure-of.ts';
import { show, showShare, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { speakerLoads } from './speaker-load.ts';

export const speakerMismatch = defineRule({
  id: 'speaker-mismatch',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W ±30 %, E ×2 or half',
  summary: 'The loudspeakers are not of the impedance of their tap.',
  why: 'The load at the anodes goes with the loudspeaker: half the impedance is half the load, and the valves run into their current; twice is twice the volts on the output transformer. A marking is nominal: a loudspeaker may dip to 80 % of it and rise to several times, so a third off is told and no less.',
  howToFix:
    'Move the lead to the tap that fits, or change how the loudspeakers are wired. Two of 8 Ω side by side want the 4 Ω tap, in series the 16 Ω tap.',
  source: 'the markings of tap and loudspeaker; IEC 60268-5 for what a nominal impedance promises',
  options: {
    warning: { default: 0.3, unit: '1', means: 'share off the tap’s impedance that is a warning' },
    error: { default: 2, unit: '1', means: 'factor off the tap’s impedance, up or down, that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 8k : 8R 16R 18W, V5.a V6.a, ct B+1, LS1 on 16R\n- LS1 = 8R 30W\n',
    names: 'LS1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 8k : 8R 16R 18W, V5.a V6.a, ct B+1, LS1 on 8R\n- LS1 = 8R 30W\n- LS1: 6.4R\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { option } = context;
    for (const view of context.verdictViews) {
      for (const { transformer, speakers, tap, load, by } of speakerLoads(view)) {
        const ratio = load / tap;
        const isFar = ratio >= option('error') * (1 - 1e-9) || ratio <= (1 + 1e-9) / option('error');
        if (!isFar && Math.abs(ratio - 1) <= option('warning')) continue;
        const [first] = speakers;
        if (first === undefined) continue;
        const names = speakers.map(({ ref }) => ref);
        const subject = names.length === 1 ? first.ref : names.join(',');
        const reflected = findFigure(context, view, 'reflected-load', transformer.ref);
        const seen =
          reflected === undefined || speakers.length > 1
            ? ''
            : ` The anodes see ${show(reflected.quantity)} for it.`;
        const better = otherTap(transformer, load, tap);
        const own = [...speakers, transformer].find(({ source }) => source.file === context.sheet.uri);
        reports.push({
          severity: isFar ? 'error' : 'warning',
          subject,
          phase: view.phase,
          tellsPhase: true,
          message: `${names.join(' and ')} ${names.length > 1 ? 'together are' : 'is'} ${showValue(load, 'Ohm')}${by === '' ? '' : ` (${by})`} on the ${showValue(tap, 'Ohm')} tap of ${transformer.ref}: ${Number(ratio.toPrecision(2))} times what that is marked for; a nominal impedance may dip by ${showShare(1 - LOWEST_IMPEDANCE.share)} (${LOWEST_IMPEDANCE.trust.source}) and no more.${seen} ${better === undefined ? 'Use loudspeakers or wiring that fit the tap.' : `Use the ${showValue(better, 'Ohm')} tap.`}`,
          source: (own ?? first).source,
          figures: { load: { value: load, unit: 'Ohm' } },
          limit: {
            quantity: { value: tap, unit: 'Ohm' },
            source: `marking of the tap of ${transformer.ref}`,
          },
        });
      }
    }
    return reports;
  },
});

/** Another tap that fits the load. */
function otherTap(transformer: FittedPart, load: number, tap: number): number | undefined {
  return (transformer.specification?.windings ?? [])
    .flatMap(({ side, impedance }) =>
      side === 'secondary' && impedance?.kind === 'value' ? [impedance.value.quantity.value] : [],
    )
    .find((each) => each !== tap && Math.abs(load / each - 1) < 0.1);
}
