/** Owns what must be told with a figure whose grid reading the meter itself pulled down. */
import { parallelResistance } from '../../electronics/combined-resistance.ts';
import { meterLoadingLoss } from '../../electronics/meter-loading.ts';
import { ohms, quantity } from '../../units/si.ts';
import { METER_OHMS } from '../node-currents.ts';
import { sayQuantity } from '../saying.ts';
import { roleOf, type SetBench } from './bench.ts';
import { resistanceOf } from './resistors.ts';

/** A share lost that is less is within what the meter may be off by itself. */
const WORTH_TELLING = 0.03;
/** Nor does it matter of less than this [V]. */
const LEAST = 1;

/** `a 10 MΩ meter on the 1 MΩ there takes 9.09 % of Vg away`; nothing where something holds the grid better than its leaks. */
export function meterRemark(bench: SetBench, grid: string): string | undefined {
  const read = bench.read.voltsAt(grid)?.known.quantity.value ?? 0;
  if (Math.abs(read) < LEAST) return undefined;
  const leaks: number[] = [];
  for (const part of bench.look.partsAt(grid)) {
    if (part.class === 'capacitor' || part.class === 'test-point' || part.class === 'valve') continue;
    const value = roleOf(bench, part.ref) === 'grid-leak' ? resistanceOf(part) : undefined;
    if (value === undefined) return undefined;
    leaks.push(value.known.quantity.value);
  }
  if (bench.valves.some(({ a, g2, k }) => a === grid || g2 === grid || k === grid)) return undefined;
  const source = parallelResistance(leaks.map(ohms));
  if (!source.ok) return undefined;
  const loss = meterLoadingLoss(source.value, ohms(METER_OHMS));
  if (!loss.ok || loss.value < WORTH_TELLING) return undefined;
  const [meter, there] = [METER_OHMS, source.value].map((each) => sayQuantity(quantity(each, 'Ohm')));
  return `a ${meter} meter on the ${there} there takes ${sayQuantity(quantity(loss.value, '1'))} of Vg away`;
}
