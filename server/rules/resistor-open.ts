/** Owns the rule resistor-open: volts across a resistor that no part of its rating could bear, so that it is open and passes nothing. */
import { allInRole } from '../bench/by-class.ts';
import type { Figure, FittedPart, PhaseView } from '../bench/model.ts';
import { shareOf, show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf, pairsOf } from './valve-circuit.ts';

export const resistorOpen = defineRule({
  id: 'resistor-open',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary:
    'More stands across a resistor than it could bear for seconds: it is open, and no current flows there.',
  why: 'Ohm’s law on an open resistor asks for currents that no supply gives, and every figure that rests on it is wrong: a 1 Ω resistor under a cathode with 41 V across it makes 41 A of the valve, and the valve is blamed. A part at twenty times its rating and more is gone in seconds; where the reading was taken in peace, nothing flowed.',
  howToFix:
    'Measure the resistor with the power off, renew it, and ask what made it fail before power goes on: the valve or the capacitor behind it may be shorted. If it is right, a reading was taken at another point.',
  source: 'Ohm’s law on the resistor as marked; the share is a house rule (common practice, no source)',
  options: {
    share: { default: 20, unit: '1', means: 'share of its rating above which a resistor counts as open' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V4 = 6L6GC\n- R32 = 1R 1W, V4.k to gnd\n- V4: a 440, g2 436, g -48, k 41\n',
    names: 'R32',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V4 = 6L6GC\n- R32 = 1R 1W, V4.k to gnd\n- V4: a 437, g2 434, g -48, k 38 mV\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const share = context.option('share');
      const found: Overloaded[] = [];
      for (const loading of context.figures(view, 'loading')) {
        if (!((loading.low ?? loading.quantity.value) > share)) continue;
        const { subject } = loading;
        const part = view.parts.get(subject);
        const drop = context.figures(view, 'drop').findLast((figure) => figure.subject === subject);
        const power = context.figures(view, 'dissipation').findLast((figure) => figure.subject === subject);
        if (part?.class !== 'resistor' || drop === undefined || power === undefined) continue;
        if (isFromVolts(power)) found.push({ part, loading, drop, power });
      }
      for (const each of found) {
        const { part } = each;
        // Two that share a point do not fail on one day: the reading there is wrong.
        const nodes = nodesOf(part);
        const isAlone = found.every(
          (other) => other.part === part || !nodesOf(other.part).some((node) => nodes.includes(node)),
        );
        if (isAlone) reports.push(report(context, view, each));
      }
    }
    return reports;
  },
});

interface Overloaded extends Readonly<Record<'loading' | 'drop' | 'power', Figure>> {
  readonly part: FittedPart;
}

function nodesOf(part: FittedPart): readonly string[] {
  return [...part.terminals.values()].filter((node) => node !== 'gnd');
}

/** Reckoned from the volts across it, not from a current that was read. */
function isFromVolts({ inputs }: Figure): boolean {
  return inputs.some(({ known }) => known.quantity.unit === 'V');
}

function report(context: RuleContext, view: PhaseView, { part, loading, drop, power }: Overloaded): Report {
  const { ref } = part;
  return {
    severity: 'error',
    subject: ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `${ref} has ${show(drop.quantity)} across it, which would be ${show(power.quantity)} in it, ${shareOf(loading.quantity.value)} its rating. It would not live through that, so it is open and passes nothing, and what is reckoned from it is not so. Measure ${ref} with the power off and renew it; look for what took it before power goes on. If it is right, a reading was taken at another point.`,
    source: drop.source,
    figures: { drop: drop.quantity, loading: loading.quantity },
    measure: 'loading',
    limit: {
      quantity: { value: context.option('share'), unit: '1' },
      source: `house rule: ${shareOf(context.option('share'))} the power rating`,
    },
    consequenceOf: [
      ...['screen-open', 'wrong-point', 'unit-slip'].map((rule) => ({ rule, subject: ref })),
      ...view.readings
        .filter(({ node }) => node !== undefined && nodesOf(part).includes(node))
        .map(({ at }) => ({ rule: 'impossible-reading', subject: at })),
    ],
    explains: explained(context, view, part),
  };
}

/** What is told of the part itself, of what shares its nodes, and of the supply that would have to give such a current. */
function explained(
  context: RuleContext,
  view: PhaseView,
  part: FittedPart,
): readonly { readonly rule: string; readonly subject: string }[] {
  const found = [{ rule: 'resistor-over-dissipation', subject: part.ref }];
  const nodes = nodesOf(part);
  const neighbours = new Set([
    part.ref,
    ...nodes.flatMap((node) => view.circuit.attached(node).map(({ ref }) => ref)),
  ]);
  for (const ref of neighbours) {
    found.push({ rule: 'contradictory-readings', subject: ref });
    if (view.parts.get(ref)?.class !== 'valve') continue;
    for (const rule of OF_VALVES) found.push({ rule, subject: ref });
    for (const subject of pairsOf(context, view, ref)) found.push({ rule: 'mismatched-pair', subject });
  }
  for (const { ref } of allInRole(view, 'mains-transformer'))
    found.push({ rule: 'winding-overload', subject: ref });
  return found;
}

const OF_VALVES = [
  'anode-over-dissipation',
  'anode-over-voltage',
  'cathode-high',
  'cathode-over-current',
  'contradictory-readings',
  'fixed-bias-hot',
  'screen-over-dissipation',
];
