/** Owns the figures of capacitors: the voltage on them, what their rating leaves over it, the energy in them, and how long it stays. */
import { capacitorMargin, capacitorVoltage } from '../../electronics/capacitor-margin.ts';
import { found, refused } from '../../electronics/result.ts';
import { storedEnergy } from '../../electronics/stored-energy.ts';
import { farads, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { Figure, FigureInput, FittedPart } from '../model.ts';
import { compareNames } from '../points.ts';
import type { SetBench } from './bench.ts';
import { bleedFigure, NOT_HAZARDOUS, WORTH_DISCHARGING } from './bleed.ts';
import { as, calculate, input, inputFrom } from './figure.ts';
import { capacitanceOf } from './stages.ts';

export function capacitorFigures(bench: SetBench): void {
  for (const part of bench.parts) voltsOnCapacitor(bench, part);
  for (const part of bench.parts) chargeOfCapacitor(bench, part);
}

export function voltsOnCapacitor(bench: SetBench, part: FittedPart): void {
  if (part.class !== 'capacitor') return;
  const voltage = bench.ledger.add(voltageOf(bench, part));
  if (voltage !== undefined) marginOf(bench, part, voltage);
}

/** Behind the volts on all of them: how long one holds its charge depends on what all the others hold. */
export function chargeOfCapacitor(bench: SetBench, part: FittedPart): void {
  if (part.class !== 'capacitor') return;
  const voltage = bench.ledger.find(part.ref, 'voltage');
  if (voltage !== undefined) energyOf(bench, part, voltage);
}

function voltageOf(bench: SetBench, part: FittedPart): Figure | undefined {
  const { moment, read } = bench;
  const across = read.voltsAcross(part);
  if (across !== undefined) {
    return calculate(moment, {
      subject: part.ref,
      figure: 'voltage',
      unit: 'V',
      formula: '|V|',
      inputs: [across],
      by: (v = 0) => found(Math.abs(v)),
      source: part.source,
    });
  }
  const ends = endsOf(part);
  if (ends === undefined) return undefined;
  const one = read.voltsAt(ends[0]);
  const two = read.voltsAt(ends[1]);
  if (one !== undefined && two !== undefined) {
    return calculate(moment, {
      subject: part.ref,
      figure: 'voltage',
      unit: 'V',
      formula: '|V1 − V2|',
      inputs: [as('V1', one), as('V2', two)],
      by: (v1 = 0, v2 = 0) => capacitorVoltage({ oneEnd: volts(v1), otherEnd: volts(v2) }),
      source: part.source,
    });
  }
  return shareOfString(bench, part);
}

/** Of a series string whose middle was not read: each has its share by capacitance. */
function shareOfString(bench: SetBench, part: FittedPart): Figure | undefined {
  const refs = part.string ?? [];
  const string = refs.flatMap((ref) => bench.view.parts.get(ref) ?? []);
  if (string.length < 2 || string.length !== refs.length) return undefined;
  const outer = outerEnds(string);
  const one = outer && bench.read.voltsAt(outer[0]);
  const two = outer && bench.read.voltsAt(outer[1]);
  const values = string.map((each) => capacitanceOf(each));
  const own = values[string.indexOf(part)];
  if (one === undefined || two === undefined || own === undefined) return undefined;
  const all: FigureInput[] = [];
  for (const value of values) {
    if (value === undefined) return undefined;
    all.push(as(`C(${value.name})`, value));
  }
  return calculate(bench.moment, {
    subject: part.ref,
    figure: 'voltage',
    unit: 'V',
    formula: '|V1 − V2| · (1 / C) / Σ(1 / Ci)',
    inputs: [as('V1', one), as('V2', two), as('C', own), ...all],
    by: (v1 = 0, v2 = 0, c = 0, ...cs) => {
      const elastance = cs.reduce((sum, each) => sum + 1 / each, 0);
      return c > 0 && elastance > 0 ? found(Math.abs(v1 - v2) / (c * elastance)) : refused('no capacitance');
    },
    assumed: true,
    remark: `share of the string ${refs.join(' + ')} by capacitance; leakage and balancing resistors may shift it`,
    source: part.source,
  });
}

function outerEnds(string: readonly FittedPart[]): readonly [string, string] | undefined {
  const counts = new Map<string, number>();
  for (const part of string)
    for (const node of endsOf(part) ?? []) counts.set(node, (counts.get(node) ?? 0) + 1);
  const outer = [...counts].filter(([, count]) => count === 1).map(([node]) => node);
  const [one, two] = outer.sort(compareNames);
  return one === undefined || two === undefined || outer.length > 2 ? undefined : [one, two];
}

function marginOf(bench: SetBench, part: FittedPart, voltage: Figure): void {
  const rated = part.ratings.voltage;
  if (rated === undefined) return;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'margin',
      unit: '1',
      formula: '1 − V / Vr',
      inputs: [inputFrom('V', voltage), input('Vr', `${part.ref} rating`, rated)],
      by: (v = 0, vr = 0) => {
        const margin = capacitorMargin({ rated: volts(vr), meets: [volts(v)] });
        return margin.ok ? found(margin.value.margin) : margin;
      },
      source: part.source,
      limit: { quantity: rated.quantity, source: `working voltage marked on ${part.ref}` },
      remark: voltage.remark,
    }),
  );
}

function energyOf(bench: SetBench, part: FittedPart, voltage: Figure): void {
  const capacitance = capacitanceOf(part);
  if (capacitance === undefined || capacitance.known.quantity.value < WORTH_DISCHARGING) return;
  if (voltage.quantity.value <= NOT_HAZARDOUS) return;
  const { ledger, moment } = bench;
  ledger.add(
    calculate(moment, {
      subject: part.ref,
      figure: 'energy',
      unit: 'J',
      formula: '½ · C · V²',
      inputs: [capacitance, inputFrom('V', voltage)],
      by: (c = 0, v = 0) => storedEnergy(farads(c), volts(v)),
      source: part.source,
    }),
  );
  ledger.add(bleedFigure(bench, part, voltage));
}
