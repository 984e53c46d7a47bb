/** Owns how sure a rule may be of a current: Ohm's law with the tolerance of the part and the last digit of the meter carried through. */
import {
  type BenchReading,
  type FittedPart,
  findMeasured,
  findValueInUse,
  type PhaseView,
} from '../bench/model.ts';
import { METER_OHMS } from '../bench/node-currents.ts';
import { isSupplyRail } from '../bench/points.ts';
import { gap, type Interval, offBy } from '../units/interval.ts';
import { findOnPart, findVolts } from './voltages.ts';

export interface Estimate {
  readonly middle: number;
  readonly band: Interval;
  readonly readings: readonly BenchReading[];
  /** Of a current: how much of it the meter itself may have taken, counted in the band [A]. */
  readonly byMeter?: number;
}

/** The ohms of a part with what they may be off: the meter's last digit where it was measured, else its tolerance. */
export function ohmsOf(
  part: FittedPart,
): { readonly middle: number; readonly band: Interval; readonly isMeasured: boolean } | undefined {
  const known = findValueInUse(part);
  if (known === undefined || known.quantity.unit !== 'Ohm' || known.quantity.value <= 0) return undefined;
  const middle = known.quantity.value;
  const measured = findMeasured(part);
  const off = measured === undefined ? part.tolerance * middle : measured.uncertainty;
  return {
    middle,
    band: { low: Math.max(middle - off, middle * 1e-3), high: middle + off },
    isMeasured: measured !== undefined,
  };
}

/** Volts across a two-terminal part in the verdict set: read across it, or as the difference of its two ends. */
export function voltsAcross(view: PhaseView, part: FittedPart): Estimate | undefined {
  const across = findOnPart(view, part.ref, 'voltage');
  if (across !== undefined) {
    const middle = Math.abs(across.value.quantity.value);
    return { middle, band: magnitude(middle, across.uncertainty), readings: [across] };
  }
  const [one, two] = part.terminals.values();
  if (one === undefined || two === undefined) return undefined;
  const a = endVolts(view, one);
  const b = a && endVolts(view, two);
  if (a === undefined || b === undefined) return undefined;
  const middle = Math.abs(a.volts - b.volts);
  return { middle, band: magnitude(middle, a.off + b.off), readings: [...a.readings, ...b.readings] };
}

/** Current through a resistor from the volts across it. */
export function currentThrough(view: PhaseView, part: FittedPart): Estimate | undefined {
  const across = voltsAcross(view, part);
  const ohms = ohmsOf(part);
  if (across === undefined || ohms === undefined) return undefined;
  const { lower, upper } = takenByMeter(view, part);
  return {
    middle: across.middle / ohms.middle,
    band: {
      low: Math.max(0, across.band.low / ohms.band.high - lower),
      high: across.band.high / ohms.band.low + upper,
    },
    readings: across.readings,
    byMeter: lower,
  };
}

/** What a meter takes while it is on the lower end of a part, or on the upper; from a supply it takes nothing that shows. */
function takenByMeter(view: PhaseView, part: FittedPart): { readonly lower: number; readonly upper: number } {
  const [one, two] = part.terminals.values();
  if (one === undefined || two === undefined || findOnPart(view, part.ref, 'voltage') !== undefined)
    return { lower: 0, upper: 0 };
  const [first, second] = [voltsOrNothing(view, one), voltsOrNothing(view, two)];
  const [atOne, atTwo] = [meterCurrent(one, first), meterCurrent(two, second)];
  return first < second ? { lower: atOne, upper: atTwo } : { lower: atTwo, upper: atOne };
}

function voltsOrNothing(view: PhaseView, node: string): number {
  return node === 'gnd' ? 0 : (findVolts(view, node)?.value.quantity.value ?? 0);
}

function meterCurrent(node: string, volts: number): number {
  return node === 'gnd' || isSupplyRail(node) ? 0 : Math.abs(volts) / METER_OHMS;
}

/** How far two estimates stand apart beyond what their bands explain, as a share of the mean of their middles; 0 where the bands meet. */
export function gapBetween(a: Estimate, b: Estimate): number {
  const mean = (Math.abs(a.middle) + Math.abs(b.middle)) / 2;
  return mean === 0 ? 0 : gap(a.band, b.band) / mean;
}

/** A magnitude is never below nothing. */
function magnitude(middle: number, off: number): Interval {
  const band = offBy(middle, off);
  return { ...band, low: Math.max(0, band.low) };
}

function endVolts(view: PhaseView, node: string) {
  if (node === 'gnd') return { volts: 0, off: 0, readings: [] };
  const reading = findVolts(view, node);
  return reading === undefined
    ? undefined
    : { volts: reading.value.quantity.value, off: reading.uncertainty, readings: [reading] };
}
