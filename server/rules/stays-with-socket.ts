/** Owns the rule stays-with-socket: a fault that stays where it was when the valves are swapped. */

import type { BenchReading, PhaseView } from '../bench/model.ts';
import type { Condition } from '../dialect/tree.ts';
import { showShare } from './phrases.ts';
import { readingsThat } from './readings-that.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { partsServing } from './valve-circuit.ts';

export const staysWithSocket = defineRule({
  id: 'stays-with-socket',
  since: '0.1.0',
  category: 'readings',
  severities: 'I',
  summary: 'With the valves swapped, the same position is still the odd one: it is not the valve.',
  why: 'Swapping is the quickest proof there is. What moves along is the valve; what stays belongs to the socket: its contacts, grid leak, coupling capacitor, screen or cathode resistor.',
  howToFix:
    'Leave the valves alone. Measure the parts of that position named in the message, power off, against those of its twin.',
  source: 'the two sets of readings; common practice, no source',
  options: {
    apart: { default: 0.2, unit: '1', means: 'difference over the mean that is worth following' },
    stays: { default: 0.5, unit: '1', means: 'share of that difference that must remain after the swap' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6V6GT\n- R18, R19 = 470R 5W 5%, V5.k V6.k to gnd\n- V5: a 300, g2 290, k 16.5\n- V6: a 297, g2 288, k 21\n- V5 V6 swapped: V5.k: 16.6 V\n- V5 V6 swapped: V6.k: 20.8 V\n',
    names: 'V6',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = 6V6GT\n- R18, R19 = 470R 5W 5%, V5.k V6.k to gnd\n- V5: a 300, g2 290, k 16.5\n- V6: a 300, g2 290, k 17.6\n- V5 V6 swapped: V5.k: 17.5 V\n- V5 V6 swapped: V6.k: 16.6 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      const swapped = readingsThat(view, 'swapped', (reading) => swapOf(reading) !== undefined);
      if (swapped.length === 0) continue;
      const normal = view.readings.filter(
        (reading) => reading.normal && reading.set.id === view.verdictSet?.id,
      );
      const pairs = new Map<string, readonly string[]>();
      for (const reading of swapped) {
        const refs = (swapOf(reading)?.refs ?? []).map(({ name }) => name);
        if (refs.length === 2) pairs.set(refs.join(' '), refs);
      }
      for (const [one, two] of pairs.values()) {
        if (one === undefined || two === undefined) continue;
        const report = checkSwap(context, view, one, two, normal, swapped);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

function swapOf({ set, conditions }: BenchReading): Condition | undefined {
  return [...set.conditions, ...conditions].find(({ kind }) => kind === 'swapped');
}

function checkSwap(
  context: RuleContext,
  view: PhaseView,
  one: string,
  two: string,
  normal: readonly BenchReading[],
  swapped: readonly BenchReading[],
): Report | undefined {
  const before = differenceOf(view, one, two, normal);
  const after = differenceOf(view, one, two, swapped);
  if (before === undefined || after === undefined) return undefined;
  if (Math.abs(before.share) <= context.option('apart') || Math.sign(before.share) !== Math.sign(after.share))
    return undefined;
  if (Math.abs(after.share) < context.option('stays') * Math.abs(before.share)) return undefined;
  const odd = before.share > 0 ? one : two;
  const parts = (
    [
      'grid-leak',
      'coupling',
      'grid-stopper',
      'screen-resistor',
      'cathode-resistor',
      'sense-resistor',
    ] as const
  )
    .flatMap((role) => partsServing(view, odd, role))
    .map(({ ref }) => ref);
  const source = after.readings.find(({ source: { file } }) => file === context.sheet.uri)?.source;
  if (source === undefined) return undefined;
  const named = parts.length === 0 ? 'its contacts and the parts on it' : `its contacts, ${parts.join(', ')}`;
  return {
    severity: 'info',
    subject: odd,
    phase: view.phase,
    tellsPhase: true,
    message: `${odd} reads ${showShare(Math.abs(before.share))} above its partner, and with ${one} and ${two} swapped that socket still does by ${showShare(Math.abs(after.share))} (worth following from ${showShare(context.option('apart'))}, house rule): it stays with the socket, so it is not the valve. Measure ${named}.`,
    source,
    figures: {
      before: { value: Math.abs(before.share), unit: '1' },
      after: { value: Math.abs(after.share), unit: '1' },
    },
    limit: {
      quantity: { value: context.option('apart'), unit: '1' },
      source: 'house rule; common practice, no source',
    },
  };
}

/** How far the current of the first position lies above the second's: by current, cathode or sense volts, whichever both have. */
function differenceOf(view: PhaseView, one: string, two: string, readings: readonly BenchReading[]) {
  const find = (ref: string): readonly (BenchReading | undefined)[] => {
    const sense = [
      ...partsServing(view, ref, 'sense-resistor'),
      ...partsServing(view, ref, 'cathode-resistor'),
    ].filter((part) => view.roles.get(part.ref)?.serves.length === 1);
    return [
      readings.findLast(({ at, quantity }) => quantity === 'current' && at === ref),
      readings.findLast(
        ({ at, quantity, to }) => quantity === 'voltage' && at === `${ref}.k` && to === undefined,
      ),
      readings.findLast(
        ({ at, quantity }) => quantity === 'voltage' && sense.some((part) => part.ref === at),
      ),
    ];
  };
  const firsts = find(one);
  const seconds = find(two);
  for (const [i, first] of firsts.entries()) {
    const second = seconds[i];
    if (first === undefined || second === undefined) continue;
    const [a, b] = [first.value.quantity.value, second.value.quantity.value];
    const mean = (a + b) / 2;
    if (mean > 0) return { share: (a - b) / mean, readings: [first, second] };
  }
  return undefined;
}
