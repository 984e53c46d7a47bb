/** Owns the rule leaky-coupling: a grid pulled positive through the capacitor that should keep direct current from it. */

import type { FittedPart, PhaseView, Role } from '../bench/model.ts';
import { findFigure } from './figure-of.ts';
import { show, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext, type Severity } from './rule.ts';
import { offNominalOf, pairsOf, partsServing } from './valve-circuit.ts';
import { findVolts, findVoltsUnder } from './voltages.ts';

export const leakyCoupling = defineRule({
  id: 'leaky-coupling',
  since: '0.1.0',
  category: 'readings',
  severities:
    'I >0.1 V, W >0.3 V, E >1 V at the grid; in fixed bias W 5 %, E 10 % less negative than its rail',
  summary: 'A grid stands positive behind a coupling capacitor.',
  why: 'The grid draws no current in a good valve, so volts on it come through the coupling capacitor’s insulation (or from gas in the valve). A volt on the grid of an output valve is several milliamperes more in it, and it cooks.',
  howToFix:
    'Lift the capacitor’s grid end and read again. If the volts go, renew the capacitor (and its twin of the other side). If they stay, pull the valve: if they go then, the valve is gassy.',
  source: 'Ohm’s law; good film capacitors have gigohms: common practice, no source',
  options: {
    info: { default: 0.1, unit: 'V', means: 'volts at the grid that are information' },
    warning: { default: 0.3, unit: 'V', means: 'volts that are a warning' },
    error: { default: 1, unit: 'V', means: 'volts that are an error' },
    fixedWarning: {
      default: 0.05,
      unit: '1',
      means: 'in fixed bias, share of the rail missing at the grid that is a warning',
    },
    fixedError: { default: 0.1, unit: '1', means: 'in fixed bias, share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n- V5 = 6V6GT\n- V3.a: 165 V\n- V5: g +1.9\n',
    names: 'C14',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C14 = 22n 400V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n- V5 = 6V6GT\n- V3.a: 165 V\n- V5: g +1.9\n- C14 lifted: V5.g: 1.8 V\n',
  },
  check: (context) => context.eachPart(checkCoupling, 'capacitor').flat(),
});

/** Of each grid behind it. */
function checkCoupling(
  context: RuleContext,
  view: PhaseView,
  capacitor: FittedPart,
): readonly Report[] | undefined {
  const found = view.roles.get(capacitor.ref);
  if (found?.role !== 'coupling') return undefined;
  const reports: Report[] = [];
  for (const valve of found.serves) {
    const report = checkGrid(context, view, capacitor, valve);
    if (report !== undefined) reports.push(report);
  }
  return reports.length === 0 ? undefined : reports;
}

function checkGrid(
  context: RuleContext,
  view: PhaseView,
  capacitor: FittedPart,
  valve: string,
): Report | undefined {
  const gridPoint = `${valve}.g`;
  const grid = findVolts(view, gridPoint);
  const gridNode = view.circuit.nodeOf(gridPoint);
  if (grid === undefined || gridNode === undefined) return undefined;
  const returnNode = findGridReturn(view, gridNode);
  const rest =
    returnNode === 'gnd'
      ? 0
      : returnNode === undefined
        ? undefined
        : findVolts(view, returnNode)?.value.quantity.value;
  if (rest === undefined) return undefined;
  const pulled = grid.value.quantity.value - rest;
  const severity = severityFor(context, pulled, rest);
  if (severity === undefined) return undefined;
  const lifted = findVoltsUnder(view, gridPoint, 'lifted', capacitor.ref);
  if (lifted !== undefined && lifted.value.quantity.value - rest > pulled / 2) return undefined;
  const valveOut = findVoltsUnder(view, gridPoint, 'out', valve);
  if (valveOut !== undefined && valveOut.value.quantity.value - rest < pulled / 2) return undefined;
  // A grid whose leak reads open hangs on nothing, and stands anywhere with a good capacitor.
  const leaks = partsServing(view, valve, 'grid-leak');
  const [leak] = leaks;
  if (leaks.some(({ measured }) => measured.at(-1)?.special === 'open')) return undefined;

  const insulation = findFigure(context, view, 'insulation', capacitor.ref);
  const through =
    insulation === undefined
      ? ''
      : ` through an insulation of ${show(insulation.quantity)}, where a good one has gigohms`;
  const where =
    rest === 0
      ? `at ${show(grid.value.quantity)}`
      : `at ${show(grid.value.quantity)} on a bias of ${showValue(rest, 'V')}`;
  const measured = findLeak(capacitor);
  const proof =
    lifted !== undefined
      ? `With ${capacitor.ref} lifted the grid reads ${show(lifted.value.quantity)}, so it is the capacitor: renew it.`
      : measured !== undefined
        ? `By itself ${capacitor.ref} reads ${show(measured.value.quantity)}, so it is the capacitor: renew it.`
        : `Lift ${capacitor.ref} and read again: if the volts stay, pull ${valve}; if they go then, the valve is gassy and the capacitor is not to blame.${
            // Without bias through its leak a grid drifts towards zero by itself.
            rest === 0 || leak === undefined
              ? ''
              : ` Measure ${leak.ref} with the power off as well: a grid whose leak is open loses its bias just so.`
          }`;
  return {
    severity,
    subject: capacitor.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `the grid of ${valve} stands ${where} behind ${capacitor.ref}: it leaks${through}. ${proof}`,
    source: grid.source,
    figures: {
      'grid-voltage': grid.value.quantity,
      ...(insulation === undefined ? {} : { insulation: insulation.quantity }),
    },
    limit: {
      quantity: { value: rest === 0 ? context.option('info') : rest, unit: 'V' },
      source: 'house rule; common practice, no source',
    },
    related: [
      { subject: capacitor.ref, message: 'fitted here.', source: capacitor.source },
      ...(measured === undefined
        ? []
        : [
            {
              subject: capacitor.ref,
              message: `by itself it read ${show(measured.value.quantity)}.`,
              source: measured.source,
            },
          ]),
      ...(lifted === undefined
        ? []
        : [
            {
              subject: gridPoint,
              message: `with ${capacitor.ref} lifted it read ${show(lifted.value.quantity)}.`,
              source: lifted.source,
            },
          ]),
    ].filter((each) => each.source.file === context.sheet.uri),
    explains: [
      { rule: 'anode-over-dissipation', subject: valve },
      { rule: 'screen-over-dissipation', subject: valve },
      { rule: 'fixed-bias-hot', subject: valve },
      { rule: 'bottomed', subject: valve },
      ...besideAtCathode(view, valve).map((subject) => ({ rule: 'cathode-high', subject })),
      { rule: 'cathode-over-current', subject: valve },
      ...offNominalOf(valve),
      ...pairsOf(context, view, valve).map((subject) => ({ rule: 'mismatched-pair', subject })),
      ...[...view.roles.values()]
        .filter((each) => CATHODE_RULES[each.role] !== undefined && each.serves.includes(valve))
        .map((each) => ({ rule: CATHODE_RULES[each.role] ?? '', subject: each.ref })),
    ],
  };
}

/** The valve and the others on its cathode resistor, which stand as high as it does. */
function besideAtCathode(view: PhaseView, valve: string): readonly string[] {
  const serves = partsServing(view, valve, 'cathode-resistor').flatMap(
    ({ ref }) => view.roles.get(ref)?.serves ?? [],
  );
  return [...new Set([valve, ...serves])];
}

/** A film capacitor that reads less than this is no insulator any more [Ω]; common practice, no source. */
const LEAST_INSULATION = 100e6;

/** Its insulation as it was measured, where that alone convicts it. */
function findLeak({ measured }: FittedPart) {
  const reading = measured.findLast(({ quantity }) => quantity === 'insulation');
  const isBad = reading?.special !== 'open' && (reading?.value.quantity.value ?? Infinity) < LEAST_INSULATION;
  return isBad ? reading : undefined;
}

/** What a cathode that a positive grid pulls up does to the parts beneath it. */
const CATHODE_RULES: Partial<Record<Role, string>> = {
  'cathode-resistor': 'resistor-over-dissipation',
  'cathode-bypass': 'bypass-over-voltage',
};

/** Where the grid leak returns to: `gnd`, or a bias node. */
function findGridReturn(view: PhaseView, gridNode: string): string | undefined {
  for (const { ref } of view.circuit.attached(gridNode)) {
    if (view.roles.get(ref)?.role !== 'grid-leak') continue;
    const returnNode = [...(view.parts.get(ref)?.terminals.values() ?? [])].find((node) => node !== gridNode);
    if (returnNode !== undefined) return returnNode;
  }
  return undefined;
}

function severityFor({ option }: RuleContext, pulled: number, rest: number): Severity | undefined {
  if (rest < 0) {
    const share = pulled / Math.abs(rest);
    if (share > option('fixedError')) return 'error';
    return share > option('fixedWarning') ? 'warning' : undefined;
  }
  if (pulled > option('error')) return 'error';
  if (pulled > option('warning')) return 'warning';
  return pulled > option('info') ? 'info' : undefined;
}
