/** Owns ripple as peak-to-peak volts, whatever the meter showed, and the capacitance that a reservoir shows by it. */
import { found, refused } from '../../electronics/result.ts';
import { capacitanceFromRipple, USUAL_CONDUCTION } from '../../electronics/ripple.ts';
import { amperes, hertz, ratio, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { BenchReading, Figure, FigureInput, FittedPart } from '../model.ts';
import { roleOf, type SetBench } from './bench.ts';
import { as, assumed, calculate, input, inputFrom, knownBy } from './figure.ts';
import { mainsFrequency } from './mains.ts';

/** Peak to peak over rms: of a sine, and of a saw-tooth, which a reservoir's ripple lies nearer to. */
const PEAK_TO_PEAK = { sine: 2 * Math.SQRT2, sawtooth: 2 * Math.sqrt(3) } as const;

/** Share of the cycle in which a rectifier conducts, over the useful range of load (computed). */
const CONDUCTION = [0.25, 0.46] as const;

export function rippleFigures(bench: SetBench): void {
  for (const node of bench.read.rippling()) {
    const reading = bestOf(bench.read.ripplesAt(node));
    const ripple = reading && bench.ledger.add(rippleOf(bench, node, reading));
    if (reading === undefined || ripple === undefined) continue;
    for (const part of bench.look.partsAt(node)) {
      if (part.class === 'capacitor' && roleOf(bench, part.ref) === 'reservoir') {
        effectiveCapacitance(bench, part, node, ripple, reading);
      }
    }
  }
}

/** A peak-to-peak reading needs no wave form; else the last. */
export function bestOf(readings: readonly BenchReading[]): BenchReading | undefined {
  return readings.findLast(({ wave }) => wave === 'pp' || wave === 'peak') ?? readings.at(-1);
}

function rippleOf(bench: SetBench, node: string, reading: BenchReading): Figure | undefined {
  const read = input('V', reading.at, reading.value);
  if (reading.wave === 'pp') {
    return calculate(bench.moment, {
      subject: node,
      figure: 'ripple',
      unit: 'V',
      formula: 'Vpp',
      inputs: [as('Vpp', read)],
      by: (v = 0) => found(Math.abs(v)),
    });
  }
  if (reading.wave === 'peak') {
    return calculate(bench.moment, {
      subject: node,
      figure: 'ripple',
      unit: 'V',
      formula: '2 · Vp',
      inputs: [as('Vp', read)],
      by: (v = 0) => found(2 * Math.abs(v)),
    });
  }
  const { sine, sawtooth } = PEAK_TO_PEAK;
  const because = `${sine.toFixed(2)} times rms for a sine, ${sawtooth.toFixed(2)} for a saw-tooth`;
  const factor = input('k', 'wave form', assumed((sine + sawtooth) / 2, '1', because, [sine, sawtooth]));
  const remark = reading.wave === 'rms' ? undefined : 'the meter’s AC taken as rms';
  return calculate(bench.moment, {
    subject: node,
    figure: 'ripple',
    unit: 'V',
    formula: 'k · Vrms',
    inputs: [factor, as('Vrms', read)],
    by: (k = 0, v = 0) => found(k * Math.abs(v)),
    remark,
  });
}

function effectiveCapacitance(
  bench: SetBench,
  part: FittedPart,
  node: string,
  ripple: Figure,
  reading: BenchReading,
): void {
  const current = loadCurrent(bench, node);
  const half = isHalfWave(bench, node);
  const mains = mainsOf(bench, reading, half);
  if (current === undefined || mains === undefined) return;
  const because = `rectifier conducting for ${CONDUCTION[0] * 100}–${CONDUCTION[1] * 100} % of the cycle`;
  const conduction = input('κ', 'conduction', assumed(USUAL_CONDUCTION, '1', because, CONDUCTION));
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'effective-capacitance',
      unit: 'F',
      formula: `I · (1 − κ) / (${half ? '' : '2 · '}f · Vpp)`,
      inputs: [current, conduction, mains, inputFrom('Vpp', ripple)],
      by: (i = 0, kappa = 0, f = 0, v = 0) =>
        capacitanceFromRipple({
          current: amperes(i),
          mains: hertz(f),
          peakToPeak: volts(v),
          rectification: half ? 'half-wave' : 'full-wave',
          conduction: ratio(kappa),
        }),
      source: part.source,
    }),
  );
}

/** One lone diode is half-wave; anything else, and nothing said, is full-wave. */
export function isHalfWave(bench: SetBench, node: string): boolean {
  const rectifiers = bench.look.partsAt(node).filter((part) => roleOf(bench, part.ref) === 'rectifier');
  return rectifiers.length === 1 && rectifiers[0]?.class === 'diode';
}

function mainsOf(bench: SetBench, reading: BenchReading, half: boolean): FigureInput | undefined {
  const { frequency } = reading;
  if (frequency !== undefined && frequency.value > 0) {
    const of = half ? frequency.value : frequency.value / 2;
    const known = knownBy(of, 'Hz', 'read', undefined, reading.source);
    return input('f', `mains by the ripple on ${reading.at}`, known);
  }
  return mainsFrequency(bench.sheets);
}

/** What a supply point gives: read there, or the sum of everything that it feeds, if all of that is known. */
export function loadCurrent(bench: SetBench, node: string): FigureInput | undefined {
  const direct = bench.read.currentAt(node);
  if (direct !== undefined) return direct;
  const terms: Figure[] = [];
  for (const part of bench.look.partsAt(node)) {
    const role = roleOf(bench, part.ref);
    if (part.class === 'capacitor' || role === 'rectifier') continue;
    if (part.class === 'valve') {
      const wired = bench.valves.filter(({ ref, a, g2 }) => ref === part.ref && (a === node || g2 === node));
      for (const valve of wired) {
        const names = [
          ...(valve.a === node ? (['anode-current'] as const) : []),
          ...(valve.g2 === node ? (['screen-current'] as const) : []),
        ];
        for (const name of names) {
          const figure = bench.ledger.find(valve.ref, name);
          if (figure === undefined) return undefined;
          terms.push(figure);
        }
      }
    } else if (role === 'output-transformer') {
      for (const ref of bench.view.roles.get(part.ref)?.serves ?? []) {
        const figure = bench.ledger.find(ref, 'anode-current');
        if (figure === undefined) return undefined;
        terms.push(figure);
      }
    } else if (endsOf(part) !== undefined) {
      const figure = bench.ledger.find(part.ref, 'current');
      if (figure === undefined) return undefined;
      terms.push(figure);
    }
  }
  const sum = calculate(bench.moment, {
    subject: node,
    figure: 'current',
    unit: 'A',
    formula: terms.map((_, i) => `I${i + 1}`).join(' + '),
    inputs: terms.map((term, i) => inputFrom(`I${i + 1}`, term)),
    by: (...values) =>
      values.length === 0 ? refused('nothing fed') : found(values.reduce((total, value) => total + value, 0)),
  });
  if (sum === undefined) return undefined;
  bench.ledger.add(sum);
  return inputFrom('I', sum);
}
