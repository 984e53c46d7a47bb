/** Owns figures that one reading makes by itself, under whatever conditions it was taken: insulation, and power into a loudspeaker. */
import { impliedResistance } from '../../electronics/ohmic.ts';
import { found } from '../../electronics/result.ts';
import { speakerPower } from '../../electronics/speaker-power.ts';
import { amperes, ohms, quantity, volts } from '../../units/si.ts';
import type { BenchReading, Figure, Known } from '../model.ts';
import type { PhaseBench } from './bench.ts';
import { calculate, input } from './figure.ts';

/** Volts of a wave over its rms, for a sine. */
const OVER_RMS = { pp: 2 * Math.SQRT2, peak: Math.SQRT2 } as const;

export function measurementFigures(bench: PhaseBench): readonly Figure[] {
  const { view, sheet } = bench;
  return view.readings.flatMap((reading) => {
    const moment = { file: sheet.uri, phase: view.phase, set: reading.set.id };
    const figure =
      reading.quantity === 'insulation' || reading.quantity === 'leakage'
        ? insulationRead(moment, reading)
        : reading.quantity === 'ac-voltage'
          ? powerInto(bench, moment, reading)
          : undefined;
    return figure === undefined ? [] : [figure];
  });
}

type Moment = Parameters<typeof calculate>[0];

function insulationRead(moment: Moment, reading: BenchReading): Figure | undefined {
  const { at, value, atVolts, special, node } = reading;
  if (special !== undefined || node !== undefined) return undefined;
  const common = { subject: at, figure: 'insulation', unit: 'Ohm', source: reading.source } as const;
  if (reading.quantity === 'insulation') {
    return calculate(moment, {
      ...common,
      formula: 'R',
      inputs: [input('R', at, value)],
      by: (r = 0) => found(r),
    });
  }
  if (atVolts === undefined) return undefined;
  const test: Known = { quantity: atVolts, basis: 'read', source: reading.source };
  return calculate(moment, {
    ...common,
    formula: 'V / I',
    inputs: [input('V', `${at} test voltage`, test), input('I', at, value)],
    by: (v = 0, i = 0) => impliedResistance(volts(v), amperes(i)),
  });
}

function powerInto({ view }: PhaseBench, moment: Moment, reading: BenchReading): Figure | undefined {
  const speaker = view.parts.get(reading.at);
  const load =
    speaker?.class === 'loudspeaker' ? (speaker.impedance ?? dummyLoad(reading)) : dummyLoad(reading);
  if (!/^LS\d/.test(reading.at) || load === undefined) return undefined;
  const over = reading.wave === 'pp' || reading.wave === 'peak' ? OVER_RMS[reading.wave] : 1;
  return calculate(moment, {
    subject: reading.at,
    figure: 'power',
    unit: 'W',
    formula: over === 1 ? 'V² / Z' : `(V / ${over.toFixed(3)})² / Z`,
    inputs: [input('V', reading.at, reading.value), input('Z', `${reading.at} load`, load)],
    by: (v = 0, z = 0) => speakerPower(volts(v / over), ohms(z)),
    source: reading.source,
    ...(over !== 1 && { remark: 'taken as a sine' }),
  });
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
