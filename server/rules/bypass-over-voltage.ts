/** Owns the rule bypass-over-voltage: a cathode bypass whose rating is too near its cathode's volts. */

import type { FittedPart, PhaseView } from '../bench/model.ts';
import { nextVoltageRating } from '../catalogue/standard-ratings.ts';
import { findFigure } from './figure-of.ts';
import { show, showValue } from './phrases.ts';
import { ratingFix } from './rating-fix.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const bypassOverVoltage = defineRule({
  id: 'bypass-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W <1.3× full drive, E <idle',
  summary: 'A cathode bypass capacitor is rated too near the cathode voltage.',
  why: 'At full drive the cathode rises well above idle, and a valve that runs away takes its bypass with it. A bypass that fails short removes the bias of the valve it belongs to.',
  howToFix:
    'Fit a bypass rated at least 1.3 times the cathode voltage at full drive. Where full drive was not read, 1.5 times the idle voltage stands for it.',
  source: 'the working voltage marked on the part; the factors are common practice, no source',
  options: {
    drive: { default: 1.5, unit: '1', means: 'full-drive cathode voltage over idle, where it was not read' },
    reserve: { default: 1.3, unit: '1', means: 'rating over the full-drive voltage' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- C31 = 22uF 25V electrolytic, across R17\n- V5: a 331, g2 322, k 19.4\n',
    names: 'C31',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- C31 = 22uF 63V electrolytic, across R17\n- V5: a 321, g2 301, k 19.4\n',
  },
  check: (context) => context.eachPart(checkBypass, 'capacitor'),
  fix: (context, finding) =>
    ratingFix(
      context,
      finding,
      'voltage',
      nextVoltageRating(
        (finding.figures?.voltage?.value ?? 0) * context.option('drive') * context.option('reserve'),
      ),
    ),
});

function checkBypass(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const { option } = context;
  const rating = part.ratings.voltage;
  if (rating === undefined || view.roles.get(part.ref)?.role !== 'cathode-bypass') return undefined;
  const voltage = findFigure(context, view, 'voltage', part.ref);
  if (voltage === undefined) return undefined;
  const idle = Math.abs(voltage.quantity.value);
  const wanted = idle * option('drive') * option('reserve');
  const rated = rating.quantity.value;
  if (rated >= wanted) return undefined;
  const next = nextVoltageRating(wanted);
  const below = rated < idle;
  return {
    severity: below ? 'error' : 'warning',
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `the cathode idles at ${showValue(idle, 'V')} and ${part.ref} across it is rated ${show(rating.quantity)}${below ? ', less than idle' : ''}. Taking full drive as ${option('drive')} times idle, and ${option('reserve')} times that for reserve, ${showValue(wanted, 'V')} is wanted${next === undefined ? '' : `: fit ${showValue(next, 'V')}`}.`,
    source: rating.source?.file === voltage.file ? rating.source : voltage.source,
    figures: { voltage: { value: idle, unit: 'V' } },
    measure: 'voltage',
    limit: { quantity: rating.quantity, source: 'working voltage marked on the part' },
  };
}
