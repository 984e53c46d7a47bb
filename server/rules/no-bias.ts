/** Owns the rule no-bias: a bias supply that is missing, so that the output valves it should hold back destroy themselves. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { isBiasNode } from '../bench/points.ts';
import { nominalAt } from './nominal.ts';
import { show, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { amplifyingValves, momentOf, offNominalOf, pairsOf, partsServing } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

/** Anodes rated below this are of no output valve. */
const OUTPUT_WATTS = 5;

export const noBias = defineRule({
  id: 'no-bias',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary: 'The bias supply of the output valves is missing, positive or far too small.',
  why: 'Nothing but the negative voltage on their grids holds output valves in fixed bias back. Without it they pass several times their rating at once, and take the output transformer, the rectifier and the fuse along.',
  howToFix:
    'Switch off. Pull the output valves, and find the bias voltage again from the winding: its rectifier, its capacitors, its control and the leads between. Only with the full negative voltage at both sockets do the valves go back.',
  source:
    'the chassis sheet’s own voltage where it gives one; without one only a rail that is not negative at all is reported (common practice, no source)',
  options: {
    share: { default: 0.2, unit: '1', means: 'share of the nominal bias below which it counts as missing' },
    none: { default: 1, unit: 'V', means: 'volts below which there is no bias, whatever the nominal' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6L6GC\n- R16, R17 = 100k 0.5W, V5.g V6.g to bias\n- bias: -0.4 V\n',
    names: 'bias',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6L6GC\n- R16, R17 = 100k 0.5W, V5.g V6.g to bias\n- bias: -48 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const asLeft = context.verdictViews.find(({ phase }) => phase === 'as-left');
    for (const view of context.verdictViews) {
      for (const [node, valves] of biasedValves(view)) {
        const report = checkBias(context, view, node, valves);
        if (report === undefined) continue;
        const again = view.phase === 'as-found' && asLeft !== undefined ? findVolts(asLeft, node) : undefined;
        const isMended =
          asLeft !== undefined &&
          again !== undefined &&
          checkBias(context, asLeft, node, valves) === undefined;
        reports.push(
          isMended
            ? {
                ...report,
                severity: 'info',
                message: `${report.message} As left it reads ${show(again.value.quantity)}.`,
              }
            : report,
        );
      }
    }
    return reports;
  },
});

/** Output valves by the bias point that their grid leaks return to; those with a cathode resistor hold themselves back. */
function biasedValves(view: PhaseView): ReadonlyMap<string, readonly string[]> {
  const byNode = new Map<string, string[]>();
  for (const valve of amplifyingValves(view)) {
    if ((valve.type?.valve?.limits.anodeDissipation?.value ?? 0) < OUTPUT_WATTS) continue;
    if (partsServing(view, valve.ref, 'cathode-resistor').length > 0) continue;
    const node = partsServing(view, valve.ref, 'grid-leak')
      .flatMap((leak: FittedPart) => [...leak.terminals.values()])
      .find(isBiasNode);
    if (node === undefined) continue;
    const list = byNode.get(node);
    if (list === undefined) byNode.set(node, [valve.ref]);
    else list.push(valve.ref);
  }
  return byNode;
}

function checkBias(
  context: RuleContext,
  view: PhaseView,
  node: string,
  valves: readonly string[],
): Report | undefined {
  const reading = findVolts(view, node);
  if (reading === undefined) return undefined;
  const at = reading.value.quantity.value;
  const nominal = nominalAt(context, view, node);
  const least =
    nominal === undefined || nominal.volts >= 0
      ? context.option('none')
      : Math.max(context.option('none'), context.option('share') * Math.abs(nominal.volts));
  if (-at >= least) return undefined;
  const against =
    nominal === undefined
      ? 'where some tens of volts negative belong'
      : `where ${nominal.whose} says ${showValue(nominal.volts, 'V')}`;
  return {
    severity: 'error',
    subject: node,
    ...momentOf(view),
    tellsPhase: true,
    message: `${show(reading.value.quantity)} stands at ${node} ${against}: nothing holds ${valves.join(' and ')} back. Switch off, pull ${valves.length === 1 ? 'it' : 'them'}, and find the bias again from its winding, rectifier, capacitors and control before power goes on.`,
    source: reading.source,
    figures: { bias: reading.value.quantity },
    limit: {
      quantity: { value: -least, unit: 'V' },
      source:
        nominal === undefined
          ? 'house rule; common practice, no source'
          : `house rule on the voltage of ${nominal.whose}`,
    },
    explains: valves.flatMap((subject) => [
      ...['fixed-bias-hot', 'anode-over-dissipation', 'screen-over-dissipation', 'cathode-over-current'].map(
        (rule) => ({ rule, subject }),
      ),
      ...pairsOf(context, view, subject).map((pair) => ({ rule: 'mismatched-pair', subject: pair })),
      ...offNominalOf(subject),
      { rule: 'off-nominal', subject: node },
    ]),
  };
}
