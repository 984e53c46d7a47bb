/** Owns the rule over-voltage: a capacitor that runs near or above its marked working voltage. */

import type { FittedPart, PhaseView } from '../bench/model.ts';
import { nextVoltageRating } from '../catalogue/standard-ratings.ts';
import { severityOf } from './bands.ts';
import { findFigure } from './figure-of.ts';
import { shareOf, show, showValue } from './phrases.ts';
import { adviseVoltage, ratingFix } from './rating-fix.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const overVoltage = defineRule({
  id: 'over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I >90 %, W >95 %, E >100 %',
  summary: 'A capacitor runs near or above its working voltage.',
  why: 'The working voltage is the most a capacitor may stand for its life. Mains rises by a tenth, and a valve amplifier with its output valves out or cold puts more on its capacitors than when it runs. The surge rating is for seconds and is not a working voltage.',
  howToFix:
    'Fit a part with the next working voltage up, or a series pair with balancing resistors. Check first that the reading was taken at the capacitor and not before a dropper.',
  source: 'the working voltage marked on the part; IEC 60384-4 for what a surge rating is',
  options: {
    info: { default: 0.9, unit: '1', means: 'share of the working voltage that is information' },
    warning: { default: 0.95, unit: '1', means: 'share that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet: '# Job\n\n## Parts\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n\n## As found\n\n- B+1: 462 V\n',
    names: 'C21',
  },
  good: {
    sheet: '# Job\n\n## Parts\n\n- C21 = 47uF 500V electrolytic, B+1 to gnd\n\n## As found\n\n- B+1: 402 V\n',
  },
  check: (context) => context.eachPart(checkCapacitor, 'capacitor'),
  fix: (context, finding) =>
    ratingFix(
      context,
      finding,
      'voltage',
      nextVoltageRating((finding.figures?.voltage?.value ?? 0) / context.option('info')),
    ),
});

function checkCapacitor(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const { option } = context;
  const rating = part.ratings.voltage;
  if (rating === undefined) return undefined;
  // A cathode bypass has a rule of its own: its idle voltage says little of its full-drive one.
  if (view.roles.get(part.ref)?.role === 'cathode-bypass') return undefined;
  const margin = findFigure(context, view, 'margin', part.ref);
  if (margin === undefined) return undefined;
  const share = { ...margin, quantity: { value: 1 - margin.quantity.value, unit: '1' as const } };
  const severity = severityOf({ quantity: share.quantity }, [
    { severity: 'error', above: option('error') },
    { severity: 'warning', above: option('warning') },
    { severity: 'info', above: option('info') },
  ]);
  if (severity === undefined) return undefined;
  const running = rating.quantity.value * share.quantity.value;
  const advice = adviseVoltage(running / option('info'));
  return {
    severity,
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `${part.ref} runs at ${showValue(running, 'V')}: ${shareOf(share.quantity.value)} its ${show(rating.quantity)} working voltage (marked on the part). ${advice}`,
    source: margin.source,
    figures: { voltage: { value: running, unit: 'V' }, margin: margin.quantity },
    limit: { quantity: rating.quantity, source: 'working voltage marked on the part' },
  };
}
