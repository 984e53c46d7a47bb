/**
 * Owns how far the ripple falls over each choke or dropper between two points where it was read, how far it should by the parts,
 * and the capacitance that the smoothing capacitor shows by it.
 */
import { capacitanceFromLcAttenuation, lcFilter } from '../../electronics/lc-filter.ts';
import { capacitanceFromRcAttenuation, rcFilter } from '../../electronics/rc-filter.ts';
import { found, type Result, refused } from '../../electronics/result.ts';
import { farads, henries, hertz, ohms, quantity, ratio } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import {
  type BenchReading,
  type Figure,
  type FigureInput,
  type FittedPart,
  findValueInUse,
  type Known,
} from '../model.ts';
import { roleOf, type SetBench } from './bench.ts';
import { WORTH_DISCHARGING } from './bleed.ts';
import { assumed, calculate, input, inputFrom } from './figure.ts';
import { mainsFrequency } from './mains.ts';
import { isOpen, resistanceOf } from './resistors.ts';
import { bestOf, isHalfWave } from './ripples.ts';
import { capacitanceOf } from './stages.ts';

/** Volts r.m.s. of the fundamental in one volt as it was read: of a sine, and of a saw-tooth (by its Fourier series). */
const FUNDAMENTAL = {
  rms: { sine: 1, sawtooth: Math.sqrt(6) / Math.PI },
  pp: { sine: 1 / (2 * Math.SQRT2), sawtooth: 1 / (Math.PI * Math.SQRT2) },
} as const;
/** A choke's marking holds at one current only: what it may have at another, and the maker's tolerance (common practice, no source). */
const CHOKE = [0.5, 1.2] as const;

export function smoothingBehind(bench: SetBench, part: FittedPart): void {
  const role = roleOf(bench, part.ref);
  const ends = role === 'choke' || role === 'dropper' ? endsOf(part) : undefined;
  if (ends === undefined || isOpen(part)) return;
  const read = ends.map((node) => bestOf(bench.read.ripplesAt(node)));
  const [one, two] = read;
  if (one === undefined || two === undefined) return;
  const [a, b] = [rmsOf(one), rmsOf(two)];
  // The ripple falls away from the rectifier; two alike say nothing.
  const isForward = bench.look.rectified.has(ends[0]) || (!bench.look.rectified.has(ends[1]) && a > b);
  const [before, after, node] = isForward ? [one, two, ends[1]] : [two, one, ends[0]];
  if (!(rmsOf(after) > 0) || !(rmsOf(before) > rmsOf(after))) return;
  const [from, to] = isForward ? [ends[0], ends[1]] : [ends[1], ends[0]];
  if (bench.look.rectified.has(to)) return;
  sectionFigures(bench, part, { before, after, from, node });
}

interface Section {
  readonly before: BenchReading;
  readonly after: BenchReading;
  /** Where the ripple comes from, and the smoothed node. */
  readonly from: string;
  readonly node: string;
}

const isPeaks = ({ wave }: BenchReading): boolean => wave === 'pp' || wave === 'peak';

/** As a sine's, for telling which of two is more. */
function rmsOf(reading: BenchReading): number {
  const { value } = reading.value.quantity;
  const times = reading.wave === 'peak' ? 2 : 1;
  return Math.abs(value) * times * FUNDAMENTAL[isPeaks(reading) ? 'pp' : 'rms'].sine;
}

function sectionFigures(bench: SetBench, part: FittedPart, section: Section): void {
  const { node } = section;
  const attenuation = bench.ledger.add(attenuationOf(bench, part, section));
  const frequency = frequencyOf(bench, section.from);
  const capacitors = bench.look.partsAt(node).filter((each) => {
    const value = each.class === 'capacitor' ? findValueInUse(each)?.quantity.value : undefined;
    return value !== undefined && value >= WORTH_DISCHARGING && endsOf(each)?.includes('gnd') === true;
  });
  const series = seriesOf(part);
  const [capacitor] = capacitors;
  if (series === undefined || frequency === undefined || capacitor === undefined) return;
  const values = capacitors.flatMap((each) => capacitanceOf(each) ?? []);
  if (values.length === capacitors.length) byParts(bench, part, series, frequency, values);
  if (attenuation !== undefined && capacitors.length === 1)
    impliedCapacitance(bench, capacitor, part, attenuation, frequency);
}

/** Ripple before over ripple after, both by their fundamental, which is nearly all that comes through. */
function attenuationOf(
  bench: SetBench,
  part: FittedPart,
  { before, after, from }: Section,
): Figure | undefined {
  const [one, two] = [isPeaks(before) ? 'pp' : 'rms', isPeaks(after) ? 'pp' : 'rms'] as const;
  const times = (before.wave === 'peak' ? 2 : 1) / (after.wave === 'peak' ? 2 : 1);
  const down = FUNDAMENTAL[two].sine;
  const isSawtooth = bench.look.rectified.has(from);
  const most = (FUNDAMENTAL[one].sine / down) * times;
  const least = isSawtooth ? (FUNDAMENTAL[one].sawtooth / down) * times : most;
  const kind = one === two ? `both ${one}` : `${one} against ${two}`;
  const because = isSawtooth
    ? `${kind}; the ripple of ${from} between a saw-tooth and a sine, of which the fundamental comes through`
    : `${kind}, sines`;
  const factor: FigureInput = input(
    'k',
    'wave form',
    isSawtooth
      ? assumed((most + least) / 2, '1', because, [least, most])
      : { quantity: quantity(most, '1'), basis: one === two ? 'catalogue' : 'assumed', because },
  );
  return calculate(bench.moment, {
    subject: part.ref,
    figure: 'attenuation',
    unit: '1',
    formula: 'k · V1 / V2',
    inputs: [factor, coarse('V1', before), coarse('V2', after)],
    by: (k = 0, v1 = 0, v2 = 0) => (v2 !== 0 ? found(Math.abs((k * v1) / v2)) : refused('no ripple is left')),
    remark: `ripple from ${before.at} to ${after.at}`,
    source: part.source,
  });
}

/** A ripple of few digits says as little as those. */
function coarse(symbol: string, { at, value, uncertainty }: BenchReading): FigureInput {
  const of = Math.abs(value.quantity.value);
  const isCoarse = uncertainty > 0.05 * of && uncertainty < of;
  return input(symbol, at, {
    ...value,
    quantity: quantity(of, 'V'),
    ...(isCoarse && value.low === undefined && { low: of - uncertainty, high: of + uncertainty }),
  });
}

/** Twice the mains; once where a lone diode feeds the supply. */
function frequencyOf(bench: SetBench, from: string): FigureInput | undefined {
  const mains = mainsFrequency(bench.sheets);
  if (mains === undefined) return undefined;
  const fed = bench.look.rectified.has(from) ? [from] : [...bench.look.rectified];
  const isHalf = fed.length > 0 && fed.every((node) => isHalfWave(bench, node));
  const { known } = mains;
  const times = isHalf ? 1 : 2;
  return input('f', isHalf ? 'ripple at the mains frequency' : 'ripple at twice the mains frequency', {
    ...known,
    quantity: quantity(known.quantity.value * times, 'Hz'),
  });
}

interface Series {
  readonly kind: 'choke' | 'resistor';
  readonly input: FigureInput;
}

function seriesOf(part: FittedPart): Series | undefined {
  if (part.class === 'resistor') {
    const resistance = resistanceOf(part);
    return resistance && { kind: 'resistor', input: resistance };
  }
  const known: Known | undefined = part.class === 'inductor' ? findValueInUse(part) : undefined;
  if (known?.quantity.unit !== 'H' || !(known.quantity.value > 0)) return undefined;
  return { kind: 'choke', input: input('L', part.ref, known) };
}

function byParts(
  bench: SetBench,
  part: FittedPart,
  { kind, input: series }: Series,
  frequency: FigureInput,
  values: readonly FigureInput[],
): void {
  const named = values.map((each, i) => ({ ...each, symbol: values.length > 1 ? `C${i + 1}` : 'C' }));
  const c = named.length > 1 ? `(${named.map(({ symbol }) => symbol).join(' + ')})` : 'C';
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'attenuation-by-parts',
      unit: '1',
      formula: kind === 'choke' ? `(2π · f)² · L · ${c} − 1` : `√(1 + (2π · f · R · ${c})²)`,
      inputs: [frequency, series, ...named],
      by: (f = 0, s = 0, ...cs): Result<number> => {
        const capacitance = farads(cs.reduce((sum, each) => sum + each, 0));
        const filter =
          kind === 'choke'
            ? lcFilter({ inductance: henries(s), capacitance, frequency: hertz(f) })
            : rcFilter({ resistance: ohms(s), capacitance, frequency: hertz(f) });
        return filter.ok ? found<number>(filter.value.attenuation) : filter;
      },
      ...(kind === 'choke' && { remark: `${part.ref} has less inductance the more current it carries` }),
      source: part.source,
    }),
  );
}

function impliedCapacitance(
  bench: SetBench,
  capacitor: FittedPart,
  part: FittedPart,
  attenuation: Figure,
  frequency: FigureInput,
): void {
  const series = seriesOf(part);
  // What a reservoir shows by its own ripple is told by that.
  if (series === undefined || roleOf(bench, capacitor.ref) === 'reservoir') return;
  const { known } = series.input;
  const { value } = known.quantity;
  const [least, most] = series.kind === 'choke' ? CHOKE : [1 - part.tolerance, 1 + part.tolerance];
  const isBanded = series.kind === 'choke' || known.basis !== 'read';
  const spread: FigureInput = isBanded
    ? {
        ...series.input,
        known: {
          ...known,
          low: value * least,
          high: value * most,
          basis: series.kind === 'choke' ? 'assumed' : known.basis,
          because:
            series.kind === 'choke'
              ? `${part.ref} from half its marking (it falls with current) to a fifth more`
              : `${part.ref} within its tolerance`,
        },
      }
    : series.input;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: capacitor.ref,
      figure: 'effective-capacitance',
      unit: 'F',
      formula: series.kind === 'choke' ? '(a + 1) / ((2π · f)² · L)' : '√(a² − 1) / (2π · f · R)',
      inputs: [inputFrom('a', attenuation), frequency, spread],
      by: (a = 0, f = 0, s = 0) =>
        series.kind === 'choke'
          ? capacitanceFromLcAttenuation({
              attenuation: ratio(a),
              inductance: henries(s),
              frequency: hertz(f),
            })
          : capacitanceFromRcAttenuation({ attenuation: ratio(a), resistance: ohms(s), frequency: hertz(f) }),
      remark: `by the ripple that ${part.ref} leaves`,
      source: capacitor.source,
    }),
  );
}
