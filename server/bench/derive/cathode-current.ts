/** Owns the current out of a cathode: read, by the resistors below it, through a tail, or as the mean of several valves that share them. */
import { currentThrough } from '../../electronics/ohmic.ts';
import { found } from '../../electronics/result.ts';
import { meanCathodeCurrent } from '../../electronics/shared-cathode.ts';
import { ohms, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { Figure, FigureInput, FittedPart } from '../model.ts';
import { compareNames } from '../points.ts';
import { roleOf, type SetBench, type ValveAt } from './bench.ts';
import { as, assumed, calculate, input } from './figure.ts';
import { isOpen, resistanceOf } from './resistors.ts';

/** Parts of at least this many times a cathode resistor carry none of its current worth counting. */
const NEGLIGIBLE = 20;

/** Cathode current of this valve alone: read in amperes, or by a resistor that only it sits on. */
export function ownCathodeCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read } = bench;
  const direct = read.currentAt(valve.ref) ?? read.currentAt(`${valve.ref}.k`);
  if (direct !== undefined) {
    return calculate(moment, {
      subject: valve.ref,
      figure: 'cathode-current',
      unit: 'A',
      formula: 'I',
      inputs: [direct],
      by: (i = 0) => found(Math.abs(i)),
      source: valve.part.source,
    });
  }
  if (valve.onCathode.length > 1) return undefined;
  const way = wayToGround(bench, valve);
  if (way !== undefined) {
    const { inputs, formula, by } = currentDown(way);
    return calculate(moment, {
      subject: valve.ref,
      figure: 'cathode-current',
      unit: 'A',
      formula,
      inputs,
      by,
      source: valve.part.source,
    });
  }
  return senseOfTheHouse(bench, valve);
}

/** A few millivolts on a cathode, in a shop that always puts the same resistor there. */
function senseOfTheHouse(bench: SetBench, valve: ValveAt): Figure | undefined {
  const volt = bench.read.voltsAt(valve.k);
  if (bench.sense === undefined || volt === undefined || valve.kind === 'triode') return undefined;
  if (Math.abs(volt.known.quantity.value) >= 1 || valve.k === 'gnd') return undefined;
  const sense = assumed(bench.sense, 'Ohm', 'sense resistor of the shop sheet');
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'cathode-current',
    unit: 'A',
    formula: 'Vk / Rs',
    inputs: [as('Vk', volt), input('Rs', 'sense', sense)],
    by: (v = 0, r = 0) => currentThrough(volts(v), ohms(r)),
    source: valve.part.source,
  });
}

/** Of several valves on one resistor only the mean is known. */
export function sharedCathodeCurrent(bench: SetBench, valve: ValveAt): Figure | undefined {
  const n = valve.onCathode.length;
  if (n < 2) return undefined;
  const way = wayToGround(bench, valve);
  if (way === undefined) return undefined;
  const refs = way.resistors.map(({ name }) => name).join(' and ');
  const { inputs, formula, by } = currentDown(way);
  const single = way.resistors.length === 1 && way.below === undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'cathode-current',
    unit: 'A',
    formula: single ? `Vk / (${n} · Rk)` : `(${formula}) / ${n}`,
    inputs,
    by: single
      ? (v = 0, r = 0) => meanCathodeCurrent({ cathode: volts(v), resistor: ohms(r), valves: n })
      : (...values) => {
          const sum = by(...values);
          return sum.ok ? found(sum.value / n) : sum;
        },
    source: valve.part.source,
    remark: `average of the ${n} valves that share ${refs}`,
  });
}

/** How a cathode's current gets away: volts above the far end, and the resistors side by side (or one after the other). */
interface WayToGround {
  readonly volts: FigureInput;
  /** Volts of the far end, where it is not ground. */
  readonly below?: FigureInput;
  readonly resistors: readonly FigureInput[];
  readonly inSeries: boolean;
}

interface Branch {
  readonly part: FittedPart;
  readonly resistance: FigureInput;
  readonly far: string;
}

function wayToGround(bench: SetBench, valve: ValveAt): WayToGround | undefined {
  const { look, read } = bench;
  if (valve.k === 'gnd') return undefined;
  const branches: Branch[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const part of look.partsAt(valve.k)) {
    if (part.class !== 'resistor' || isOpen(part)) continue;
    const ends = endsOf(part);
    const resistance = resistanceOf(part);
    if (ends === undefined || resistance === undefined) continue;
    const role = roleOf(bench, part.ref);
    if (role === 'feedback' || role === 'grid-leak' || role === 'anode-load' || role === 'screen-resistor')
      continue;
    branches.push({ part, resistance, far: ends[0] === valve.k ? ends[1] : ends[0] });
    least = Math.min(least, resistance.known.quantity.value);
  }
  const carrying = branches
    .filter(({ resistance }) => resistance.known.quantity.value < NEGLIGIBLE * least)
    .sort((a, b) => compareNames(a.part.ref, b.part.ref));
  const first = carrying[0];
  if (first === undefined) return undefined;
  const cathode = read.voltsAt(valve.k);
  if (carrying.every(({ far }) => far === first.far)) {
    const resistors = carrying.map(({ resistance }, i) =>
      as(carrying.length > 1 ? `Rk${i + 1}` : 'Rk', resistance),
    );
    const across = carrying.map(({ part }) => read.voltsAcross(part)).find((each) => each !== undefined);
    const below = first.far === 'gnd' ? undefined : read.voltsAt(first.far);
    const sense = below && senseBelow(bench, first.far);
    if (below !== undefined && sense !== undefined) {
      return { volts: as('Vs', below), resistors: [as('Rs', sense)], inSeries: false };
    }
    if (cathode !== undefined && (first.far === 'gnd' || below !== undefined)) {
      return { volts: as('Vk', cathode), below: below && as('V', below), resistors, inSeries: false };
    }
    if (across !== undefined) return { volts: as('V', across), resistors, inSeries: false };
    if (cathode !== undefined && carrying.length === 1) return throughTail(bench, first, cathode);
  }
  return undefined;
}

/** A resistor that was put below a cathode resistor to be measured across, where all of the current goes through it. */
function senseBelow(bench: SetBench, node: string): FigureInput | undefined {
  const sensing = bench.look.partsAt(node).filter((part) => roleOf(bench, part.ref) === 'sense-resistor');
  const [only] = sensing;
  return only === undefined || sensing.length > 1 || isOpen(only) ? undefined : resistanceOf(only);
}

/** A cathode resistor on top of a tail whose own voltage was not read: the two in series. */
function throughTail(bench: SetBench, top: Branch, cathode: FigureInput): WayToGround | undefined {
  const others = bench.look.partsAt(top.far).filter(({ ref }) => ref !== top.part.ref);
  const carrying = others.filter(
    (part) => part.class !== 'capacitor' && roleOf(bench, part.ref) !== 'grid-leak',
  );
  const [tail] = carrying;
  if (
    tail === undefined ||
    carrying.length > 1 ||
    tail.class !== 'resistor' ||
    !endsOf(tail)?.includes('gnd')
  )
    return undefined;
  const resistance = resistanceOf(tail);
  if (resistance === undefined || isOpen(tail)) return undefined;
  return {
    volts: as('Vk', cathode),
    resistors: [as('Rk', top.resistance), as('Rt', resistance)],
    inSeries: true,
  };
}

function currentDown({ volts: above, below, resistors, inSeries }: WayToGround) {
  const drop = below === undefined ? above.symbol : `(${above.symbol} − ${below.symbol})`;
  const [first, second] = resistors.map(({ symbol }) => symbol);
  const inputs = [above, ...(below ? [below] : []), ...resistors];
  const formula =
    second === undefined
      ? `${drop} / ${first}`
      : inSeries
        ? `${drop} / (${first} + ${second})`
        : `${drop} / (${resistors.map(({ symbol }) => symbol).join(' ∥ ')})`;
  return {
    inputs,
    formula,
    by: (...values: readonly number[]) => {
      const [v = 0, ...rest] = values;
      const low = below === undefined ? 0 : (rest.shift() ?? 0);
      const total = inSeries
        ? rest.reduce((sum, r) => sum + r, 0)
        : 1 / rest.reduce((sum, r) => sum + 1 / r, 0);
      const current = currentThrough(volts(v - low), ohms(Number.isFinite(total) ? total : 0));
      return current.ok ? found(Math.abs(current.value)) : current;
    },
  };
}
