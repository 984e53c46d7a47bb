/** Owns the rule series-capacitors-unbalanced: capacitors in series that do not share the voltage as their ratings need. */
import type { Figure, FittedPart, PhaseView } from '../bench/model.ts';
import { worstSeriesShare } from '../electronics/series-capacitors.ts';
import { ratio, volts } from '../units/si.ts';
import { show, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf } from './valve-circuit.ts';

export const seriesCapacitorsUnbalanced = defineRule({
  id: 'series-capacitors-unbalanced',
  since: '0.1.0',
  category: 'readings',
  severities: 'W, E if a share is above its rating; I where no balancing resistors are written',
  summary: 'Capacitors in series do not share the voltage evenly.',
  why: 'Two capacitors in series share the voltage inversely to their capacitance as they charge, and by their leakage later. Without a resistor across each, the better one takes more than half, fails short, and the other has it all. Where no balancing resistors are written, they may be there and not on the sheet: that alone is information.',
  howToFix:
    'Fit equal capacitors of one make and date with equal resistors across each, small enough to outweigh the leakage, and rated for their share of the voltage. Read the middle of the string to know.',
  source: 'series division of charge; the limits are house rules (common practice, no source)',
  options: {
    uneven: { default: 0.2, unit: '1', means: 'departure of a share from the even one that is a warning' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- C40 + C41 = 100uF 350V electrolytic, B+1 to gnd\n- R50, R51 = 220k 2W, across C40 C41\n- B+1: 446 V\n- C41: 290 V\n- C40: 156 V\n',
    names: 'C41',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- C40 + C41 = 100uF 350V electrolytic, B+1 to gnd\n- R50, R51 = 220k 2W, across C40 C41\n- B+1: 446 V\n- C41: 228 V\n- C40: 218 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const part of view.parts.values()) {
        const { string } = part;
        if (string === undefined || string.length < 2 || string[0] !== part.ref) continue;
        const members = string.flatMap((ref) => {
          const member = view.parts.get(ref);
          const figure = context.figures(view, 'voltage').findLast(({ subject }) => subject === ref);
          return member === undefined || figure === undefined ? [] : [{ part: member, figure }];
        });
        if (members.length !== string.length) continue;
        const report = checkString(context, view, members);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

interface Member {
  readonly part: FittedPart;
  readonly figure: Figure;
}

function checkString(context: RuleContext, view: PhaseView, members: readonly Member[]): Report | undefined {
  const total = members.reduce((sum, { figure }) => sum + figure.quantity.value, 0);
  const [worst] = [...members].sort((a, b) => strain(b) - strain(a));
  if (worst === undefined || !(total > 0)) return undefined;
  const even = total / members.length;
  const share = worst.figure.quantity.value;
  const rated = worst.part.ratings.voltage?.quantity.value;
  const names = members.map(({ part }) => part.ref).join(' + ');
  const isRead = members.every(({ figure }) => figure.basis === 'read' || figure.basis === 'fitted');
  const isBalanced = members.every(({ part }) => hasResistorAcross(view, part));
  const uneven = share / even - 1;
  const isOver = rated !== undefined && share > rated;
  const said = `${showValue(share, 'V')} of ${showValue(total, 'V')} on ${worst.part.ref}`;
  const remedy =
    'Fit equal capacitors with equal resistors across each, and read the middle of the string again.';
  const make = (severity: Report['severity'], message: string, limit: number): Report => ({
    severity,
    subject: worst.part.ref,
    ...momentOf(view),
    tellsPhase: true,
    message,
    source: worst.figure.source,
    figures: { voltage: worst.figure.quantity },
    measure: 'voltage',
    limit: {
      quantity: { value: limit, unit: 'V' },
      source:
        limit === rated
          ? `working voltage marked on ${worst.part.ref}`
          : 'house rule; common practice, no source',
    },
    explains: isOver || severity === 'warning' ? [{ rule: 'over-voltage', subject: worst.part.ref }] : [],
  });
  // With a resistor across each, shares by capacitance hold no longer: only a reading tells.
  if (!isRead && isBalanced) return undefined;
  if (isOver && rated !== undefined && uneven > context.option('uneven'))
    return make(
      'error',
      `the string ${names} is uneven: ${said}, which is rated ${showValue(rated, 'V')}. ${remedy}`,
      rated,
    );
  if (uneven > context.option('uneven'))
    return make(
      'warning',
      `the string ${names} is uneven: ${said}, ${showShare(uneven)} over an even share and beyond ${showShare(context.option('uneven'))} (house rule). ${remedy}`,
      even * (1 + context.option('uneven')),
    );
  if (isRead || isBalanced) return undefined;
  const byTolerance = worstSeriesShare({
    voltage: volts(total),
    capacitors: members.length,
    tolerance: ratio(worst.part.tolerance),
  });
  const most = byTolerance.ok ? byTolerance.value : share;
  if (rated !== undefined && most > rated)
    return make(
      'warning',
      `no balancing resistors are written across ${names}, and by their tolerance (±${showShare(worst.part.tolerance)}) one may take ${showValue(most, 'V')} of ${showValue(total, 'V')}, over its rating ${show({ value: rated, unit: 'V' })}. ${remedy}`,
      rated,
    );
  return make(
    'info',
    `no balancing resistors are written across ${names}; by their tolerance one may take ${showValue(most, 'V')} of ${showValue(total, 'V')}${rated === undefined ? '' : `, under its rating ${showValue(rated, 'V')}`}, and leakage decides in the end. Write them, or fit one across each.`,
    most,
  );
}

/** Share of its rating, or the volts themselves where none is marked. */
function strain({ part, figure }: Member): number {
  return figure.quantity.value / (part.ratings.voltage?.quantity.value ?? 1e3);
}

function hasResistorAcross(view: PhaseView, part: FittedPart): boolean {
  const [one, two] = [...part.terminals.values()];
  if (one === undefined || two === undefined) return false;
  return view.circuit.attached(one).some(({ ref }) => {
    const other = view.parts.get(ref);
    return other?.class === 'resistor' && [...other.terminals.values()].includes(two);
  });
}
