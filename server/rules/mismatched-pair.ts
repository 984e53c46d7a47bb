/** Owns the rule mismatched-pair: output valves of one pair that idle at different currents. */
import type { Figure, PhaseView } from '../bench/model.ts';
import { mismatch } from '../electronics/mismatch.ts';
import { amperes } from '../units/si.ts';
import { type Estimate, gapBetween } from './intervals.ts';
import { shareOf, show, showShare } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf, offNominalOf, ownFigure, partsServing } from './valve-circuit.ts';

export const mismatchedPair = defineRule({
  id: 'mismatched-pair',
  since: '0.1.0',
  category: 'readings',
  severities: 'I >10 %, W >20 %, E >40 %',
  summary: 'The output valves of a pair idle at different currents.',
  why: 'What the two currents differ by magnetises the output transformer, lets hum through that the pair would cancel, and makes one valve work for both. Some difference is normal between new valves. Where both share one cathode resistor, its voltage gives only their sum: nothing is concluded from it, and it cannot clear a valve.',
  howToFix:
    'Swap the valves and read again. If the higher current moves with the valve, match the pair or balance the bias; if it stays with the socket, look at that position’s grid leak, coupling capacitor, screen resistor and cathode resistor. With a shared cathode resistor, read the drop over each half of the output transformer.',
  source:
    'Ohm’s law on the resistors read, with the tolerance of those that were not measured; the limits are house rules (common practice, no source)',
  options: {
    info: { default: 0.1, unit: '1', means: 'difference over the mean that is information' },
    warning: { default: 0.2, unit: '1', means: 'difference that is a warning' },
    error: { default: 0.4, unit: '1', means: 'difference that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6L6GC\n- R43, R44 = 1R 1W 1%, V5.k V6.k to gnd\n- V5: a 448, g2 446, g -44\n- V6: a 448, g2 446, g -44\n- R43: 41 mV\n- R44: 29 mV\n',
    names: 'V5,V6',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6L6GC\n- R43, R44 = 1R 1W 1%, V5.k V6.k to gnd\n- V5: a 448, g2 446, g -44\n- V6: a 448, g2 446, g -44\n- R43: 41 mV\n- R44: 38 mV\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const figure of context.figures(view, 'mismatch')) {
        const report = checkPair(context, view, figure);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

function checkPair(context: RuleContext, view: PhaseView, figure: Figure): Report | undefined {
  const valves = figure.subject.split(',').flatMap((ref) => {
    const current = ownFigure(context, view, 'cathode-current', ref);
    return current === undefined ? [] : [{ ref, current, estimate: estimateOf(view, ref, current) }];
  });
  const [lowest] = [...valves].sort((a, b) => a.estimate.middle - b.estimate.middle);
  const [highest] = [...valves].sort((a, b) => b.estimate.middle - a.estimate.middle);
  if (lowest === undefined || highest === undefined || lowest === highest) return undefined;
  const apart = mismatch(amperes(lowest.estimate.middle), amperes(highest.estimate.middle));
  if (!apart.ok) return undefined;
  // What no tolerance and no last digit explains; nothing is said of a difference that they may make by themselves.
  const sure = gapBetween(lowest.estimate, highest.estimate);
  const severity =
    sure <= 0
      ? undefined
      : sure > context.option('error')
        ? 'error'
        : apart.value > context.option('warning')
          ? 'warning'
          : apart.value > context.option('info')
            ? 'info'
            : undefined;
  if (severity === undefined) return undefined;
  const limit = context.option(severity === 'error' ? 'error' : severity === 'warning' ? 'warning' : 'info');
  const advice =
    severity === 'info'
      ? 'New pairs differ by as much; it is told for the record.'
      : 'Swap them and read again: what moves along is the valve, what stays is that socket’s grid leak, coupling capacitor, screen resistor or cathode resistor.';
  const within =
    sure < apart.value * 0.9
      ? ` The resistors that were not measured may make ${shareOf(apart.value - sure)} that.`
      : '';
  return {
    severity,
    subject: figure.subject,
    ...momentOf(view),
    tellsPhase: true,
    message: `${highest.ref} passes ${show(highest.current.quantity)} and ${lowest.ref} ${show(lowest.current.quantity)}: ${shareOf(apart.value)} their mean apart, above ${showShare(limit)} (house rule).${within} ${advice}`,
    source: figure.source,
    figures: { mismatch: { value: apart.value, unit: '1' } },
    measure: 'mismatch',
    // Of one that hardly passes anything, “set the bias less negative” would be the wrong advice.
    explains: figure.subject
      .split(',')
      .flatMap((valve) => [
        ...offNominalOf(valve),
        ...(severity === 'error' ? [{ rule: 'fixed-bias-cold', subject: valve }] : []),
      ]),
    limit: { quantity: { value: limit, unit: '1' }, source: 'house rule; common practice, no source' },
  };
}

/** The valve's current with what its unmeasured cathode or sense resistor may be off. */
function estimateOf(view: PhaseView, valve: string, { quantity, low, high }: Figure): Estimate {
  const middle = quantity.value;
  const below = [
    ...partsServing(view, valve, 'sense-resistor'),
    ...partsServing(view, valve, 'cathode-resistor'),
  ];
  const off = Math.max(
    0,
    ...below.map((part) =>
      part.measured.some(({ quantity: of }) => of === 'resistance') ? 0 : part.tolerance,
    ),
  );
  return {
    middle,
    band: { low: (low ?? middle) * (1 - off), high: (high ?? middle) * (1 + off) },
    readings: [],
  };
}
