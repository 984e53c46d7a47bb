/** Owns figures that one reading makes by itself, under whatever conditions it was taken: insulation, and power into a loudspeaker. */

import { parallelResistance } from '../../electronics/combined-resistance.ts';
import { impliedResistance } from '../../electronics/ohmic.ts';
import { found } from '../../electronics/result.ts';
import { speakerPower } from '../../electronics/speaker-power.ts';
import { amperes, ohms, quantity, volts } from '../../units/si.ts';
import type { BenchReading, Figure, FigureName, Known } from '../model.ts';
import { loadedTaps } from '../speaker-taps.ts';
import type { PhaseBench } from './bench.ts';
import { calculate, input } from './figure.ts';

/** What is made here. */
export const MEASURED: readonly FigureName[] = ['insulation', 'power'];

/** Volts of a wave over its rms, for a sine. */
const OVER_RMS = { pp: 2 * Math.SQRT2, peak: Math.SQRT2 } as const;

export function measurementFigures(bench: PhaseBench, reading: BenchReading): readonly Figure[] {
  const moment = { file: bench.sheet.uri, phase: bench.view.phase, set: reading.set.id };
  const figure =
    reading.quantity === 'insulation' || reading.quantity === 'leakage'
      ? insulationRead(moment, reading)
      : reading.quantity === 'ac-voltage'
        ? powerInto(bench, moment, reading)
        : undefined;
  return figure === undefined ? [] : [figure];
}

type Moment = Parameters<typeof calculate>[0];

function insulationRead(moment: Moment, reading: BenchReading): Figure | undefined {
  const { at, value, atVolts, special, node } = reading;
  if (special !== undefined || node !== undefined) return undefined;
  if (reading.quantity === 'insulation') {
    return calculate(moment, {
      subject: at,
      figure: 'insulation',
      unit: 'Ohm',
      formula: 'R',
      inputs: [input('R', at, value)],
      by: (r = 0) => found(r),
      source: reading.source,
    });
  }
  if (atVolts === undefined) return undefined;
  const test: Known = { quantity: atVolts, basis: 'read', source: reading.source };
  return calculate(moment, {
    subject: at,
    figure: 'insulation',
    unit: 'Ohm',
    formula: 'V / I',
    inputs: [input('V', `${at} test voltage`, test), input('I', at, value)],
    by: (v = 0, i = 0) => impliedResistance(volts(v), amperes(i)),
    source: reading.source,
  });
}

function powerInto({ view }: PhaseBench, moment: Moment, reading: BenchReading): Figure | undefined {
  const { at, wave } = reading;
  const found = findLoad(view, reading);
  if (found === undefined) return undefined;
  const over = wave === 'pp' || wave === 'peak' ? OVER_RMS[wave] : 1;
  const remarks = [...(over === 1 ? [] : ['taken as a sine']), ...(found.remark ?? [])];
  const name = found.load.because ?? `${at} load`;
  return calculate(moment, {
    subject: at,
    figure: 'power',
    unit: 'W',
    formula: over === 1 ? 'V² / Z' : `(V / ${over.toFixed(3)})² / Z`,
    inputs: [input('V', at, reading.value), input('Z', name, found.load)],
    by: (v = 0, z = 0) => speakerPower(volts(v / over), ohms(z)),
    source: reading.source,
    remark: remarks.join('; '),
  });
}

/** What the output worked into: the dummy load that the conditions say, else the loudspeaker, else what the tap is for. */
function findLoad(
  view: PhaseBench['view'],
  reading: BenchReading,
): { readonly load: Known; readonly remark?: readonly string[] } | undefined {
  const conditions = [...reading.set.conditions, ...reading.conditions];
  if (conditions.some(({ kind }) => kind === 'no-load')) return undefined;
  const said = dummyLoad(reading);
  const own = view.parts.get(reading.at);
  if (/^LS\d/.test(reading.at)) {
    const load = said ?? (own?.class === 'loudspeaker' ? own.impedance : undefined);
    return load && { load };
  }
  const [, ref, marked] = /^(\w+)\.(\d+(?:\.\d+)?)R$/.exec(reading.at) ?? [];
  if (ref === undefined || marked === undefined) return undefined;
  const transformer = view.parts.get(ref);
  if (said !== undefined) return { load: said };
  const tap = Number(marked);
  const on = transformer && loadedTaps(view, transformer).find((each) => each.tap === tap);
  const loads = on?.speakers.flatMap(({ impedance }) => impedance ?? []) ?? [];
  const [first] = loads;
  if (on !== undefined && first !== undefined && loads.length === on.speakers.length) {
    const together = parallelResistance(loads.map(({ quantity: { value } }) => ohms(value)));
    const because = on.speakers.map((each) => each.ref).join(' ∥ ');
    return together.ok
      ? { load: { ...first, quantity: quantity(together.value, 'Ohm'), because } }
      : undefined;
  }
  // Volts at a tap with nothing said to be on it tell of no power, unless a signal was driven through it.
  const isDriven =
    reading.frequency !== undefined ||
    conditions.some(({ kind }) => kind === 'signal' || kind === 'clipping');
  if (!isDriven || !(tap > 0)) return undefined;
  const because = `the load that ${reading.at} is for`;
  return {
    load: { quantity: quantity(tap, 'Ohm'), basis: 'assumed', because },
    remark: [`with ${tap} Ω on it, which nobody says`],
  };
}

/** `dummy 8R` of the set says what the output worked into. */
function dummyLoad(reading: BenchReading): Known | undefined {
  const load = [...reading.set.conditions, ...reading.conditions].findLast(
    ({ kind, value }) => (kind === 'dummy-load' || kind === 'speaker') && value?.unit === 'Ohm',
  );
  if (load?.value === undefined) return undefined;
  return {
    quantity: quantity(load.value.value, 'Ohm'),
    basis: 'fitted',
    source: { file: reading.source.file, span: load.span },
  };
}
