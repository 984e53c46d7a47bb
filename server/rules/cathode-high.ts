/** Owns the rule cathode-high: a cathode that stands far above what its parts should give. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { findStrangeCathode } from './cathode-expected.ts';
import { show, showFigure } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { currentMeasure, momentOf, offNominalOf, pairsOf, partsServing } from './valve-circuit.ts';

export const cathodeHigh = defineRule({
  id: 'cathode-high',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >1.5×, E >3×',
  summary: 'A cathode stands far above what its parts and an average valve would give.',
  why: 'More volts on a cathode than the circuit should give mean a cathode resistor that has drifted or opened, more current than the stage is made for, or a grid that is pulled positive. The valve is seldom the cause.',
  howToFix:
    'Measure the cathode resistor with the power off, then read the grid: a positive one points to the coupling capacitor before it.',
  source:
    'the circuit solved with the fitted parts and the valve’s model, both named in the message; the factors are house rules (common practice, no source)',
  options: {
    warning: { default: 1.5, unit: '1', means: 'times the expected volts that are a warning' },
    error: { default: 3, unit: '1', means: 'times the upper end of the expected volts that are an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- R6 = 1M\n- B+3: 278 V\n- V1A: k 2.9\n',
    names: 'V1A',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- R6 = 1M\n- B+3: 278 V\n- V1A: k 1.6\n',
  },
  check: (context) => context.eachPart(checkCathode, 'valve'),
});

function checkCathode(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const roughly = Math.max(1.01, context.option('warning') * 0.9);
  const strange = findStrangeCathode(context, view, part, roughly);
  if (strange === undefined) return undefined;
  const { valve, resistor, reading, expected } = strange;
  const read = reading.value.quantity.value;
  const times = read / expected.quantity.value;
  const sure = read / Math.max(expected.high ?? 0, expected.quantity.value);
  const severity =
    sure > context.option('error') ? 'error' : times > context.option('warning') ? 'warning' : undefined;
  if (severity === undefined) return undefined;
  const cathode = currentMeasure(context, view, 'cathode-current', valve.ref);
  return {
    severity,
    subject: valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the cathode of ${valve.ref} stands at ${show(reading.value.quantity)} where ${showFigure(expected)} is expected (${expected.remark ?? 'solved from the fitted parts'}): ${times.toPrecision(2)} times, above ${context.option('warning')} (house rule). Measure ${resistor.ref} with the power off, then read the grid; the valve is seldom the cause.`,
    source: reading.source,
    ...cathode,
    figures: { ...cathode.figures, times: { value: times, unit: '1' }, expected: expected.quantity },
    limit: {
      quantity: { value: context.option('warning') * expected.quantity.value, unit: 'V' },
      source: 'house rule on the expected value; common practice, no source',
    },
    explains: [
      ...offNominalOf(valve.ref),
      ...pairsOf(context, view, valve.ref).map((pair) => ({ rule: 'mismatched-pair', subject: pair })),
      ...partsServing(view, valve.ref, 'cathode-bypass').map(({ ref }) => ({
        rule: 'bypass-over-voltage',
        subject: ref,
      })),
    ],
  };
}
