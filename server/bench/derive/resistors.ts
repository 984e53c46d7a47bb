/** Owns the figures of resistors: what drops across them, what flows, what they turn to heat, and how much of their rating that is. */
import { currentThrough } from '../../electronics/ohmic.ts';
import { deratedPower } from '../../electronics/resistor-derating.ts';
import {
  powerFromCurrent,
  powerFromVoltage,
  powerFromVoltageAndCurrent,
} from '../../electronics/resistor-power.ts';
import { found } from '../../electronics/result.ts';
import { amperes, celsius, ohms, quantity, volts, watts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import {
  type Figure,
  type FigureInput,
  type FittedPart,
  findMeasured,
  findValueInUse,
  type Known,
} from '../model.ts';
import { roleOf, type SetBench } from './bench.ts';
import { as, calculate, input, inputFrom, knownWith } from './figure.ts';

/** Air around parts in a chassis: a rating is held against what is left of it there. */
export const SURROUNDINGS = celsius(70);

/** Where nothing is left of the rating, by style (makers' sheets; from memory, unverified). */
const NOTHING_LEFT_AT: readonly { readonly kind: RegExp; readonly at: number }[] = [
  { kind: /wire|cement|ceramic/, at: 275 },
  { kind: /oxide/, at: 235 },
  { kind: /comp/, at: 130 },
];
const NOTHING_LEFT_USUALLY_AT = 155;

export function resistorFigures(bench: SetBench): void {
  for (const part of bench.parts) figuresOfResistor(bench, part);
}

export function figuresOfResistor(bench: SetBench, part: FittedPart): void {
  if (part.class !== 'resistor' && part.class !== 'inductor') return;
  const drop = dropOf(bench, part);
  const current = currentOf(bench, part, drop);
  const power = powerOf(bench, part, drop, current);
  if (power !== undefined) loadingOf(bench, part, power);
}

/** Resistance for arithmetic: read on the part, else marked; of a choke its winding's. */
export function resistanceOf(part: FittedPart): FigureInput | undefined {
  const known = part.class === 'inductor' ? chokeResistance(part) : findValueInUse(part);
  if (known === undefined || known.quantity.unit !== 'Ohm' || !(known.quantity.value > 0)) return undefined;
  return input('R', part.ref, known);
}

function chokeResistance(part: FittedPart): Known | undefined {
  const measured = part.measured.findLast(
    ({ quantity: of, special }) => of === 'resistance' && special === undefined,
  );
  return measured?.value ?? part.resistance;
}

export function isOpen(part: FittedPart): boolean {
  // A choke's main value is its inductance; what is open is its winding.
  if (part.class === 'inductor')
    return part.measured.findLast(({ quantity: of }) => of === 'resistance')?.special === 'open';
  return findMeasured(part)?.special === 'open';
}

function dropOf(bench: SetBench, part: FittedPart): Figure | undefined {
  const { ledger, moment, read } = bench;
  const across = read.voltsAcross(part);
  if (across !== undefined) {
    return ledger.add(
      calculate(moment, {
        subject: part.ref,
        figure: 'drop',
        unit: 'V',
        formula: '|V|',
        inputs: [across],
        by: (v = 0) => found(Math.abs(v)),
        source: part.source,
      }),
    );
  }
  const ends = endsOf(part);
  const both = ends && read.voltsOfBoth(ends[0], ends[1]);
  if (both === undefined) return undefined;
  // Two like readings say that nothing drops, not that half a digit does. Only what feeds a supply point surely carries
  // something: from nothing to what the digits hide.
  const role = roleOf(bench, part.ref);
  const feeds = role === 'choke' || role === 'dropper';
  const isLevel = !feeds && both[0].known.quantity.value === both[1].known.quantity.value;
  const one = (isLevel ? read.voltsAt(ends?.[0]) : undefined) ?? both[0];
  const two = (isLevel ? read.voltsAt(ends?.[1]) : undefined) ?? both[1];
  return ledger.add(
    calculate(moment, {
      subject: part.ref,
      figure: 'drop',
      unit: 'V',
      formula: '|V1 − V2|',
      inputs: [as('V1', one), as('V2', two)],
      by: (v1 = 0, v2 = 0) => found(Math.abs(v1 - v2)),
      source: part.source,
      least: mayBeAlike(one.known, two.known) ? 0 : undefined,
    }),
  );
}

/** No drop at all, as far as the digits go: of one that they may hide, from nothing to that much follows. */
function isNothing({ quantity: { value }, high }: Figure): boolean {
  return (high ?? value) === 0;
}

/** Two that may be alike drop from nothing on. */
function mayBeAlike(one: Known, two: Known): boolean {
  const [a, b] = [one.quantity.value, two.quantity.value];
  return !((one.low ?? a) > (two.high ?? b) || (two.low ?? b) > (one.high ?? a));
}

function currentOf(bench: SetBench, part: FittedPart, drop: Figure | undefined): Figure | undefined {
  const { ledger, moment, read } = bench;
  const direct = read.currentAt(part.ref);
  if (direct !== undefined) {
    return ledger.add(
      calculate(moment, {
        subject: part.ref,
        figure: 'current',
        unit: 'A',
        formula: '|I|',
        inputs: [direct],
        by: (i = 0) => found(Math.abs(i)),
        source: part.source,
      }),
    );
  }
  const resistance = resistanceOf(part);
  if (drop === undefined || resistance === undefined || isOpen(part) || isNothing(drop)) return undefined;
  return ledger.add(
    calculate(moment, {
      subject: part.ref,
      figure: 'current',
      unit: 'A',
      formula: 'V / R',
      inputs: [inputFrom('V', drop), resistance],
      by: (v = 0, r = 0) => currentThrough(volts(v), ohms(r)),
      source: part.source,
    }),
  );
}

function powerOf(
  bench: SetBench,
  part: FittedPart,
  drop: Figure | undefined,
  current: Figure | undefined,
): Figure | undefined {
  const { ledger, moment } = bench;
  const resistance = resistanceOf(part);
  if (isOpen(part)) return undefined;
  if (drop !== undefined && !isNothing(drop) && resistance !== undefined) {
    return ledger.add(
      calculate(moment, {
        subject: part.ref,
        figure: 'dissipation',
        unit: 'W',
        formula: 'V² / R',
        inputs: [inputFrom('V', drop), resistance],
        by: (v = 0, r = 0) => powerFromVoltage(volts(v), ohms(r)),
        source: part.source,
      }),
    );
  }
  if (current === undefined) return undefined;
  if (resistance !== undefined) {
    return ledger.add(
      calculate(moment, {
        subject: part.ref,
        figure: 'dissipation',
        unit: 'W',
        formula: 'I² · R',
        inputs: [inputFrom('I', current), resistance],
        by: (i = 0, r = 0) => powerFromCurrent(amperes(i), ohms(r)),
        source: part.source,
      }),
    );
  }
  if (drop === undefined) return undefined;
  return ledger.add(
    calculate(moment, {
      subject: part.ref,
      figure: 'dissipation',
      unit: 'W',
      formula: 'V · I',
      inputs: [inputFrom('V', drop), inputFrom('I', current)],
      by: (v = 0, i = 0) => powerFromVoltageAndCurrent(volts(v), amperes(i)),
      source: part.source,
    }),
  );
}

function loadingOf(bench: SetBench, part: FittedPart, power: Figure): void {
  const rated = part.ratings.power;
  if (rated === undefined || part.class !== 'resistor') return;
  const words = part.kinds.length === 0 ? undefined : part.kinds.join(' ');
  const style = words === undefined ? undefined : NOTHING_LEFT_AT.find(({ kind }) => kind.test(words));
  const nothingAt = style?.at ?? NOTHING_LEFT_USUALLY_AT;
  const allowed = deratedPower({
    rated: watts(rated.quantity.value),
    surroundings: SURROUNDINGS,
    fullUpTo: celsius(70),
    nothingAt: celsius(nothingAt),
  });
  if (!allowed.ok || !(allowed.value > 0)) return;
  const limit = knownWith(rated, quantity(allowed.value, 'W'), rated.low, rated.high);
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'loading',
      unit: '1',
      formula: 'P / Pr',
      inputs: [inputFrom('P', power), input('Pr', `${part.ref} rating`, limit)],
      by: (p = 0, pr = 0) => found(pr > 0 ? p / pr : Number.NaN),
      source: part.source,
      limit: {
        quantity: limit.quantity,
        source: `power rating of ${part.ref}, at ${SURROUNDINGS} °C around it`,
      },
    }),
  );
}
