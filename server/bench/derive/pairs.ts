/** Owns how far output valves that should be alike are not. */
import { mismatch } from '../../electronics/mismatch.ts';
import { found } from '../../electronics/result.ts';
import { amperes } from '../../units/si.ts';
import type { Figure } from '../model.ts';
import { compareNames } from '../points.ts';
import type { SetBench, ValveAt } from './bench.ts';
import { calculate, inputFrom } from './figure.ts';

/** A valve of at least this anode dissipation is an output valve. */
const OUTPUT_WATTS = 5;

export function pairFigures(bench: SetBench): void {
  for (const pair of outputPairs(bench)) {
    const currents = pair.flatMap(({ ref }) => {
      const current = bench.ledger.find(ref, 'cathode-current');
      // A mean of both says nothing of either.
      return current === undefined || current.remark?.startsWith('average') ? [] : [current];
    });
    if (currents.length !== pair.length) continue;
    bench.ledger.add(
      calculate(bench.moment, {
        subject: pair.map(({ ref }) => ref).join(','),
        figure: 'mismatch',
        unit: '1',
        formula: currents.length === 2 ? '|I1 − I2| / ((I1 + I2) / 2)' : '(Imax − Imin) / mean',
        inputs: currents.map((current, i) => inputFrom(`I${i + 1}`, current)),
        by: (...values) => {
          const [one, two] = values;
          if (values.length === 2 && one !== undefined && two !== undefined)
            return mismatch(amperes(one), amperes(two));
          const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
          return found((Math.max(...values) - Math.min(...values)) / mean);
        },
        least: mayBeAlike(currents) ? 0 : undefined,
      }),
    );
  }
}

/** Whether all of them may be alike, which no corner of their bands says. */
function mayBeAlike(currents: readonly Figure[]): boolean {
  const lows = currents.map(({ quantity: { value }, low }) => low ?? value);
  const highs = currents.map(({ quantity: { value }, high }) => high ?? value);
  return Math.max(...lows) <= Math.min(...highs);
}

/** Valves on the primary of one output transformer; where none is said, output valves of one type. */
function outputPairs(bench: SetBench): readonly (readonly ValveAt[])[] {
  const pairs: ValveAt[][] = [];
  const paired = new Set<string>();
  for (const part of bench.outputTransformers) {
    const primary = new Set(
      [...part.terminals].filter(([name]) => /^p\d+$/.test(name)).map(([, node]) => node),
    );
    const valves = bench.valves.filter(({ a }) => primary.has(a));
    if (valves.length < 2) continue;
    pairs.push([...valves].sort((a, b) => compareNames(a.ref, b.ref)));
    for (const { ref } of valves) paired.add(ref);
  }
  const byType = new Map<string, ValveAt[]>();
  for (const valve of bench.valves) {
    const watts = valve.valve?.limits.anodeDissipation?.value;
    if (paired.has(valve.ref) || watts === undefined || watts < OUTPUT_WATTS || valve.valve === undefined)
      continue;
    const list = byType.get(valve.valve.type);
    if (list === undefined) byType.set(valve.valve.type, [valve]);
    else list.push(valve);
  }
  for (const list of byType.values()) if (list.length > 1) pairs.push(list);
  return pairs;
}
