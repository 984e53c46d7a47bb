/** Owns the insulation of coupling capacitors: by the volts that a leak puts on the next grid. */
import { leakageResistance } from '../../electronics/leakage-resistance.ts';
import { found } from '../../electronics/result.ts';
import { ohms, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FittedPart } from '../model.ts';
import { isBiasNode } from '../points.ts';
import { roleOf, type SetBench } from './bench.ts';
import { as, calculate } from './figure.ts';
import { meterRemark } from './meter-load.ts';
import { resistanceOf } from './resistors.ts';

/** Less on a grid is contact potential and the meter, not a leak. */
const LEAST_SHIFT = 0.05;

export function leakageOfCapacitor(bench: SetBench, part: FittedPart): void {
  if (part.class === 'capacitor' && roleOf(bench, part.ref) === 'coupling') insulationOf(bench, part);
}

function insulationOf(bench: SetBench, part: FittedPart): void {
  const { look, read } = bench;
  const ends = endsOf(part);
  if (ends === undefined) return;
  const [source, driven] = look.at(ends[0], 'a').length > 0 ? ends : [ends[1], ends[0]];
  if (look.at(driven, 'a').length > 0) return;
  const driver = read.voltsAt(source);
  const grid = read.voltsAt(driven) ?? behindStopper(bench, driven);
  const leaks = look
    .partsAt(driven)
    .filter((other) => other.class === 'resistor' && roleOf(bench, other.ref) === 'grid-leak');
  const [leak] = leaks;
  const resistance = leak && resistanceOf(leak);
  if (
    driver === undefined ||
    grid === undefined ||
    leak === undefined ||
    leaks.length > 1 ||
    resistance === undefined
  )
    return;
  const [one, two] = endsOf(leak) ?? [];
  const far = one === driven ? two : one;
  const supply = far === 'gnd' ? undefined : read.voltsAt(far);
  if (far === undefined || (far !== 'gnd' && (!isBiasNode(far) || supply === undefined))) return;
  const shift = grid.known.quantity.value - (supply?.known.quantity.value ?? 0);
  if (shift < LEAST_SHIFT) return;
  const loaded = meterRemark(bench, driven);
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'insulation',
      unit: 'Ohm',
      formula: supply ? '(Va − Vg) / ((Vg − Vgg) / Rg)' : '(Va − Vg) / (Vg / Rg)',
      inputs: [
        as('Va', driver),
        as('Vg', grid),
        as('Rg', resistance),
        ...(supply ? [as('Vgg', supply)] : []),
      ],
      by: (va = 0, vg = 0, rg = 0, vgg = 0) => {
        const leakage = leakageResistance({
          driver: volts(va),
          grid: volts(vg),
          gridLeak: ohms(rg),
          gridSupply: volts(vgg),
        });
        return leakage.ok ? found(leakage.value.resistance) : leakage;
      },
      remark: [
        `if it is ${part.ref} that leaks and not the valve that draws grid current: lift it, or pull the valve, and read again`,
        ...(loaded === undefined ? [] : [loaded]),
      ].join('; '),
      source: part.source,
    }),
  );
}

/** A grid carries no current, so that its own reading is that of the point behind its stopper. */
function behindStopper(bench: SetBench, node: string) {
  for (const part of bench.look.partsAt(node)) {
    if (roleOf(bench, part.ref) !== 'grid-stopper') continue;
    const ends = endsOf(part);
    const grid = ends && (ends[0] === node ? ends[1] : ends[0]);
    const reading = bench.read.voltsAt(grid);
    if (reading !== undefined) return reading;
  }
  return undefined;
}
