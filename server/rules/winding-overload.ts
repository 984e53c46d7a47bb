/** Owns the rule winding-overload: an HT winding that gives more current than it is rated for, however the rating is read. */
import { allInRole } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { isSupplyRail } from '../bench/points.ts';
import { plainValue } from '../sheet/model.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { currentDrawn } from './supply-node.ts';
import { momentOf } from './valve-circuit.ts';

export const windingOverload = defineRule({
  id: 'winding-overload',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >100 %, E >130 % by the direct current alone',
  summary: 'More direct current is drawn than the HT winding is rated for.',
  why: 'A winding heats by its rms current, which with a capacitor behind the rectifier is one to almost two times the direct current. Makers mean one or the other by their figure and seldom say which; where even the direct current is above it, the winding is overloaded by either. So no form factor is laid on top: the limits are reckoned from the direct current, and are passed later than a winding rated for its rms current would like.',
  howToFix:
    'Find what draws the current before blaming the transformer: bias, a leaking capacitor, one valve more than drawn. Else fit a transformer of the current needed.',
  source: 'the current marked on the winding; the direct current follows from the readings',
  options: {
    warning: { default: 1, unit: '1', means: 'direct current over the winding’s rating that is a warning' },
    error: { default: 1.3, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 60mA 6.3V 3A 5V 2A\n- V9 = GZ34, T1 to B+1\n- R20 = 1k 25W, B+1 to B+2\n- C21 = 47uF 500V, B+2 to gnd\n- B+1: 340 V\n- B+2: 272 V\n',
    names: 'T1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T1 = mains 290-0-290V 150mA 6.3V 3A 5V 2A\n- V9 = GZ34, T1 to B+1\n- R20 = 1k 25W, B+1 to B+2\n- C21 = 47uF 500V, B+2 to gnd\n- B+1: 340 V\n- B+2: 272 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const { ref } of allInRole(view, 'mains-transformer')) {
        const transformer = view.parts.get(ref);
        const rated = transformer === undefined ? undefined : ratedCurrent(transformer);
        const node = rated === undefined ? undefined : nodeFedBy(view, ref);
        const drawn = node === undefined ? undefined : currentDrawn(context, view, node);
        if (rated === undefined || node === undefined || drawn === undefined) continue;
        const share = drawn.amperes / rated;
        const severity =
          drawn.low / rated > context.option('error')
            ? 'error'
            : share > context.option('warning')
              ? 'warning'
              : undefined;
        if (severity === undefined) continue;
        const source = view.readings.findLast(
          (reading) => reading.node === node && reading.normal && reading.source.file === context.sheet.uri,
        )?.source;
        if (source === undefined) continue;
        reports.push({
          severity,
          subject: ref,
          ...momentOf(view),
          tellsPhase: true,
          message: `${drawn.from.join(' and ')} draw ${drawn.isLeast ? 'at least ' : ''}${showValue(drawn.amperes, 'A')} of direct current from ${node}: ${shareOf(share)} the ${showValue(rated, 'A')} that the winding of ${ref} is marked with, and its rms current is higher still. Find what draws it, or fit a larger transformer.`,
          source,
          figures: { current: { value: drawn.amperes, unit: 'A' }, share: { value: share, unit: '1' } },
          limit: { quantity: { value: rated, unit: 'A' }, source: `marked on the winding of ${ref}` },
        });
      }
    }
    return reports;
  },
});

/** The current marked on the winding of the highest voltage. */
function ratedCurrent({ specification }: FittedPart): number | undefined {
  let best: { readonly volts: number; readonly amperes: number | undefined } | undefined;
  for (const { side, volts, current } of specification?.windings ?? []) {
    const height = plainValue(volts)?.quantity.value;
    if (side !== 'secondary' || height === undefined || (best !== undefined && height <= best.volts))
      continue;
    best = { volts: height, amperes: plainValue(current)?.quantity.value };
  }
  return best?.amperes !== undefined && best.amperes > 0 ? best.amperes : undefined;
}

/** The one supply rail that rectifiers on this transformer's bare name feed; of several nobody knows the sum. */
function nodeFedBy(view: PhaseView, transformer: string): string | undefined {
  const nodes = new Set<string>();
  for (const { ref } of allInRole(view, 'rectifier')) {
    const part = view.parts.get(ref);
    const node = part?.terminals.get('k');
    const isOnIt = part !== undefined && [...part.terminals.values()].includes(transformer);
    if (isOnIt && node !== undefined && isSupplyRail(node)) nodes.add(node);
  }
  const [only] = nodes;
  return nodes.size === 1 ? only : undefined;
}
