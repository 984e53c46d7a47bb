/** Owns the rule gassy-valve: grid volts that come from the valve itself, because they go when it is pulled. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import {
  currentMeasure,
  isAmplifying,
  momentOf,
  offNominalOf,
  pairsOf,
  partsServing,
} from './valve-circuit.ts';
import { findVolts, findVoltsUnder } from './voltages.ts';

export const gassyValve = defineRule({
  id: 'gassy-valve',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >0.3 V that go with the valve',
  summary: 'A grid stands positive with its valve in, and not with the valve out.',
  why: 'Gas in a valve, or emission of its grid, drives current out through the grid leak and pulls the grid positive. That raises the anode current, which heats the valve and frees more gas: it ends in a red anode.',
  howToFix:
    'Renew the valve. See that the grid leak is not larger than the valve’s data sheet allows, which makes even little gas run away.',
  source:
    'Ohm’s law on the grid leak: a capacitor’s leak stays when the valve is pulled; the limit is a house rule',
  options: {
    warning: { default: 0.3, unit: 'V', means: 'volts above the grid’s return that must go with the valve' },
    left: { default: 0.5, unit: '1', means: 'share of them that may stay with the valve out' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n- V5 = 6V6GT\n- V3.a: 165 V\n- V5: g +1.9\n- V5 out: V5.g: 0 V\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n- V5 = 6V6GT\n- V3.a: 165 V\n- V5: g 0\n- V5 out: V5.g: 0 V\n',
  },
  check: (context) => context.eachPart(checkGrid, 'valve'),
});

function checkGrid(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  if (!isAmplifying(valve)) return undefined;
  const point = `${valve.ref}.g`;
  const grid = findVolts(view, point);
  if (grid === undefined) return undefined;
  const node = view.circuit.nodeOf(point);
  const leak = partsServing(view, valve.ref, 'grid-leak')[0];
  const far = leak && [...leak.terminals.values()].find((each) => each !== node);
  const rest = leak === undefined || far === 'gnd' ? 0 : findVolts(view, far ?? '')?.value.quantity.value;
  if (rest === undefined) return undefined;
  const pulled = grid.value.quantity.value - rest;
  if (pulled <= context.option('warning')) return undefined;
  const out = findVoltsUnder(view, point, 'out', valve.ref);
  if (out === undefined || out.value.quantity.value - rest >= context.option('left') * pulled)
    return undefined;
  const through = leak === undefined ? '' : ` through ${leak.ref}`;
  const current = currentMeasure(context, view, 'cathode-current', valve.ref);
  return {
    severity: 'warning',
    subject: valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the grid of ${valve.ref} stands at ${show(grid.value.quantity)} with the valve in and at ${show(out.value.quantity)} with it out: the current${through} comes from ${valve.ref} itself, more than the ${show({ value: context.option('warning'), unit: 'V' })} of contact potential and meter (house rule). It is gassy or its grid emits: renew it.`,
    source: grid.source,
    ...current,
    figures: { ...current.figures, 'grid-voltage': grid.value.quantity, 'valve-out': out.value.quantity },
    limit: {
      quantity: { value: context.option('warning'), unit: 'V' },
      source: 'house rule; common practice, no source',
    },
    related: [{ subject: point, message: `read with ${valve.ref} out`, source: out.source }].filter(
      (each) => each.source.file === context.sheet.uri,
    ),
    explains: [
      { rule: 'anode-over-dissipation', subject: valve.ref },
      { rule: 'screen-over-dissipation', subject: valve.ref },
      { rule: 'fixed-bias-hot', subject: valve.ref },
      { rule: 'bottomed', subject: valve.ref },
      { rule: 'cathode-high', subject: valve.ref },
      ...offNominalOf(valve.ref),
      ...pairsOf(context, view, valve.ref).map((subject) => ({ rule: 'mismatched-pair', subject })),
    ],
  };
}
