/** Owns the rule trimmer-reaches-unsafe: a bias control whose end lets the output valves run over their rating. */
import { partsOfClass } from '../bench/by-class.ts';
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { isBiasNode } from '../bench/points.ts';
import type { ReadingSet } from '../sheet/model.ts';
import { isFixedBiasOutput } from './bias-kind.ts';
import { figuresIn } from './figure-of.ts';
import { shareOf, show, showFigure } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const trimmerReachesUnsafe = defineRule({
  id: 'trimmer-reaches-unsafe',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >100 % at an end of its travel',
  summary: 'At one end of its travel the bias control lets an output valve run over its rating.',
  why: 'Controls are turned by those who have no meter, and their wipers fail. A control that reaches a hot setting will be found there one day, with two red anodes behind it.',
  howToFix:
    'Fit a resistor between the control and ground, or a smaller control with resistors on both sides, so that even its end keeps the valves within their rating. See also what the bias does when the wiper lifts: it should go more negative.',
  source:
    'the valve’s data sheet and its rating system, both named in the message; read at the end of the travel',
  options: {
    loading: { default: 1, unit: '1', means: 'share of the anode’s rating at an end that is a warning' },
    end: { default: 0.5, unit: '1', means: 'how near to 0 or 10 a setting counts as an end' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = EL34\n- R16 = 220k, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- VR4 = 25k lin, biasraw to gnd, wiper to bias\n\nVR4 at 10:\n\n- V5: a 400, g2 395, g -20\n- R43: 95 mV\n\nVR4 at 4:\n\n- V5: a 400, g2 395, g -36\n- R43: 40 mV\n',
    names: 'VR4',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = EL34\n- R16 = 220k, V5.g to bias\n- R43 = 1R 1W, V5.k to gnd\n- VR4 = 25k lin, biasraw to gnd, wiper to bias\n\nVR4 at 10:\n\n- V5: a 400, g2 395, g -33\n- R43: 52 mV\n\nVR4 at 4:\n\n- V5: a 400, g2 395, g -36\n- R43: 40 mV\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const controls = biasControls(view);
      if (controls.length === 0) continue;
      const sets = new Map(view.readings.map(({ set }) => [set.id, set] as const));
      const readingOf = new Map<number, BenchReading>();
      for (const reading of view.readings)
        if (reading.source.file === context.sheet.uri) readingOf.set(reading.set.id, reading);
      for (const loading of figuresIn(view, 'anode-loading', 'all')) {
        const set = sets.get(loading.set);
        const reading = readingOf.get(loading.set);
        if (set === undefined || reading === undefined) continue;
        const end = endOfTravel(set, controls, context.option('end'));
        const worst = loading.low ?? loading.quantity.value;
        if (end === undefined || worst <= context.option('loading') || loading.limit === undefined) continue;
        if (!isFixedBiasOutput(view, loading.subject)) continue;
        const power = figuresIn(view, 'anode-dissipation', 'all').find(
          (each) => each.subject === loading.subject && each.set === loading.set,
        );
        const said = power === undefined ? '' : `${showFigure(power)}, `;
        reports.push({
          severity: 'warning',
          subject: end.ref,
          phase: view.phase,
          set,
          tellsPhase: true,
          message: `with ${end.ref} at ${end.setting} the anode of ${loading.subject} dissipates ${said}${shareOf(loading.quantity.value)} ${show(loading.limit.quantity)} (${loading.limit.source}). Fit a resistor beside the control so that even this end stays within the rating.`,
          source: reading.source,
          figures: { 'anode-loading': loading.quantity },
          limit: { quantity: loading.limit.quantity, source: loading.limit.source },
        });
      }
    }
    return reports;
  },
});

/** Controls that sit on a bias point. */
function biasControls(view: PhaseView): readonly FittedPart[] {
  return partsOfClass(view, 'potentiometer').filter(({ terminals }) =>
    [...terminals.values()].some(isBiasNode),
  );
}

/** The control that a set was read with at 0 or at 10, and where. */
function endOfTravel(
  set: ReadingSet,
  controls: readonly FittedPart[],
  near: number,
): { readonly ref: string; readonly setting: number } | undefined {
  for (const { kind, refs, value } of set.conditions) {
    if (kind !== 'setting' || value === undefined) continue;
    const control = controls.find(({ ref }) => refs.some(({ name }) => name === ref));
    if (control !== undefined && (value.value <= near || value.value >= 10 - near))
      return { ref: control.ref, setting: value.value };
  }
  return undefined;
}
