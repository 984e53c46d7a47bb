/** Owns the rule cathode-low: a cathode that stands at next to nothing although its valve should lift it. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { findStrangeCathode } from './cathode-expected.ts';
import { show, showFigure, showShare } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import {
  contradictionsRound,
  currentMeasure,
  farEnd,
  momentOf,
  offNominalOf,
  pairsOf,
  partsServing,
} from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

/** Share of its supply below which an anode is fed nothing: no valve pulls it so low through its load. */
const UNFED = 0.02;

export const cathodeLow = defineRule({
  id: 'cathode-low',
  since: '0.1.0',
  category: 'readings',
  severities: 'E <10 %',
  summary: 'A cathode stands at next to nothing where its parts should give volts.',
  why: 'The cathode resistor’s volts are the bias of the valve. Without them either no current flows, or the bypass capacitor is shorted and the valve runs with no bias at all, far over its rating.',
  howToFix:
    'Read the anode. At its supply: no current flows, look at the heater and the valve. Low, or an output valve that glows: switch off and measure the bypass capacitor.',
  source:
    'the circuit solved with the fitted parts and the valve’s model, both named in the message; the share is a house rule (common practice, no source)',
  options: {
    error: {
      default: 0.1,
      unit: '1',
      means: 'share of the lower end of the expected volts that is an error',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5 C5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- C5 = 25uF 25V\n- R6 = 1M\n- B+3: 278 V\n- V1A: k 0.02\n',
    names: 'V1A',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5 C5, g R6\n- R4 = 100k 1W\n- R5 = 1k5 0.5W\n- C5 = 25uF 25V\n- R6 = 1M\n- B+3: 278 V\n- V1A: k 1.4\n',
  },
  check: (context) => context.eachPart(checkCathode, 'valve'),
});

function checkCathode(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const strange = findStrangeCathode(context, view, part, context.option('error') * 1.1);
  if (strange === undefined) return undefined;
  const { valve, resistor, reading, expected } = strange;
  const read = reading.value.quantity.value;
  const least = Math.min(expected.low ?? Number.POSITIVE_INFINITY, expected.quantity.value);
  const share = read / expected.quantity.value;
  if (!(read < context.option('error') * least)) return undefined;
  if (isUnfed(view, valve.ref)) return undefined;
  const bypass = partsServing(view, valve.ref, 'cathode-bypass')[0];
  const suspects = [resistor.ref, ...(bypass === undefined ? [] : [bypass.ref])].join(' and ');
  const cathode = currentMeasure(context, view, 'cathode-current', valve.ref);
  return {
    severity: 'error',
    subject: valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the cathode of ${valve.ref} stands at ${show(reading.value.quantity)} where ${showFigure(expected)} is expected (${expected.remark ?? 'solved from the fitted parts'}): ${showShare(share)}, under ${showShare(context.option('error'))} (house rule). Either no current flows or something shorts it: switch off and measure ${suspects}.`,
    source: reading.source,
    ...cathode,
    figures: { ...cathode.figures, share: { value: share, unit: '1' }, expected: expected.quantity },
    limit: {
      quantity: { value: context.option('error') * least, unit: 'V' },
      source: 'house rule on the expected value; common practice, no source',
    },
    // What flows past its resistor is missing in the sum of its currents.
    explains: [
      ...offNominalOf(valve.ref),
      ...contradictionsRound(view, resistor.ref),
      ...partsServing(view, valve.ref, 'anode-load').map(({ ref }) => ({
        rule: 'resistor-over-dissipation',
        subject: ref,
      })),
      ...pairsOf(context, view, valve.ref).map((pair) => ({ rule: 'mismatched-pair', subject: pair })),
    ],
  };
}

/** An anode at next to nothing gets no current to pass on: the load is to blame, and the contradiction of its readings says so. */
function isUnfed(view: PhaseView, valve: string): boolean {
  const load = partsServing(view, valve, 'anode-load')[0];
  const anode = findVolts(view, `${valve}.a`)?.value.quantity.value;
  const rail = load === undefined ? undefined : farEnd(load, view.circuit.nodeOf(`${valve}.a`));
  const supply = rail === undefined ? undefined : findVolts(view, rail)?.value.quantity.value;
  return anode !== undefined && supply !== undefined && anode < UNFED * supply;
}
