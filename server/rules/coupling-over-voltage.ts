/** Owns the rule coupling-over-voltage: a coupling capacitor that cannot stand its driver's whole supply. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { nextVoltageRating } from '../catalogue/standard-ratings.ts';
import { hasSlowRectifier, worstOnCoupling } from './cold-supply.ts';
import { findFigure } from './figure-of.ts';
import { shareOf, show, showShare, showValue } from './phrases.ts';
import { ratingFix } from './rating-fix.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const couplingOverVoltage = defineRule({
  id: 'coupling-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W <1.1× the cold supply and bias, E <1.0×; W at most behind an indirectly heated rectifier',
  summary: 'A coupling capacitor is rated too near the whole supply of the valve that drives it.',
  why: 'Warm, it stands at the anode’s voltage. Cold, or with its valve pulled, the anode goes to the whole unloaded supply, and a fixed negative bias at the other end comes on top. A coupling capacitor that breaks down takes an output valve with it. An indirectly heated rectifier comes up with the valves and mostly spares it that: then it is a warning at most.',
  howToFix:
    'Fit a capacitor rated at least 1.1 times the cold supply plus the bias; 630 V covers most amplifiers.',
  source:
    'the working voltage marked on the part; the factor is common practice, no source; high mains by EN 50160 or ANSI C84.1',
  options: {
    warning: { default: 1.1, unit: '1', means: 'rating over the worst below which it is a warning' },
    error: { default: 1, unit: '1', means: 'rating over the worst below which it is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V3 = 12AX7, a R15 B+3, k R11\n- R15 = 100k 1W\n- R11 = 1k5 0.5W\n- C14 = 22n 400V film, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to bias\n- bias: -41 V\n- B+3: 372 V\n- V3.a: 231 V\n',
    names: 'C14',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V3 = 12AX7, a R15 B+3, k R11\n- R15 = 100k 1W\n- R11 = 1k5 0.5W\n- C14 = 22n 630V film, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to bias\n- bias: -41 V\n- B+3: 372 V\n- V3.a: 231 V\n',
  },
  check: (context) => context.eachPart(checkCoupling, 'capacitor'),
  fix: (context, finding) =>
    ratingFix(
      context,
      finding,
      'voltage',
      nextVoltageRating((finding.figures?.['cold-voltage']?.value ?? 0) * context.option('warning')),
    ),
});

function checkCoupling(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const { option } = context;
  const { ref } = part;
  const rating = part.ratings.voltage;
  if (rating === undefined || view.roles.get(ref)?.role !== 'coupling') return undefined;
  const worst = worstOnCoupling(context, view, part);
  if (worst === undefined || !(worst.volts > 0)) return undefined;
  const rated = rating.quantity.value;
  const running = findFigure(context, view, 'voltage', ref);
  // Above its rating even when it runs: over-voltage says that.
  if (running !== undefined && running.quantity.value > rated) return undefined;
  const isBelow = rated < worst.low * option('error');
  if (!isBelow && rated >= worst.volts * option('warning')) return undefined;
  const isSlow = hasSlowRectifier(view);
  const next = nextVoltageRating(worst.volts * option('warning'));
  const withBias = worst.bias > 0 ? ` and ${showValue(worst.bias, 'V')} of bias at its other end` : '';
  const advice = next === undefined ? '' : ` Fit ${showValue(next, 'V')}.`;
  return {
    severity: isBelow && !isSlow ? 'error' : 'warning',
    subject: ref,
    phase: view.phase,
    tellsPhase: true,
    message: `with its driver cold or pulled ${ref} meets ${showValue(worst.volts, 'V')} (${worst.because()}${withBias}), and its working voltage is ${show(rating.quantity)} (marked on the part): ${shareOf(rated / worst.volts)} that where ${showShare(option('warning'))} is wanted.${advice}${worst.remark()}${isSlow ? ' The indirectly heated rectifier softens this, but not with the output valves pulled.' : ''}`,
    source: rating.source?.file === context.sheet.uri ? rating.source : worst.source,
    figures: { 'cold-voltage': { value: worst.volts, unit: 'V' } },
    measure: 'cold-voltage',
    limit: { quantity: rating.quantity, source: 'working voltage marked on the part' },
    explains: [{ rule: 'rating-lowered', subject: ref }],
  };
}
