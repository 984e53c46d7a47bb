/**
 * Owns what a small capacitor from a place with signal takes away: a corner where it goes straight to ground, a shelf where a
 * resistor or a control stands in series with it, between the two anodes of an output stage as well.
 */
import { rcCorner } from '../../electronics/rc-corner.ts';
import { found, type Result } from '../../electronics/result.ts';
import { seriesRcShunt } from '../../electronics/series-rc-shunt.ts';
import { impedance, impedances } from '../../electronics/solver/sweep.ts';
import { farads, hertz, ohms, quantity } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { compareNames } from '../points.ts';
import { signalElements, signalNode } from '../signal-circuit.ts';
import { roleOf } from './bench.ts';
import { rheostatBetween, UNWRITTEN } from './controls.ts';
import { as, calculate, input } from './figure.ts';
import { resistanceOf } from './resistors.ts';
import { capacitanceOf, type StageBench } from './stages.ts';
import { surroundingsOf, transformerElements } from './surroundings.ts';

/** Where couplings pass everything and small capacitors take nothing yet. */
const MIDDLE = hertz(1000);

export function trebleCutFigures(bench: StageBench): void {
  for (const part of bench.parts)
    if (part.class === 'capacitor' && roleOf(bench, part.ref) === 'treble-cut') cutOf(bench, part);
}

interface Shunt {
  /** Where the signal is. */
  readonly live: string;
  /** Where it goes: a place that stands still, or another with the opposite signal. */
  readonly to: string;
  readonly series?: FigureInput;
  readonly refs: ReadonlySet<string>;
}

function cutOf(bench: StageBench, part: FittedPart): void {
  const capacitance = capacitanceOf(part);
  const shunt = capacitance && findShunt(bench, part);
  if (capacitance === undefined || shunt === undefined) return;
  const r0 = impedanceAt(bench, shunt);
  if (r0 === undefined) return;
  const { series } = shunt;
  const base = { subject: part.ref, source: part.source } as const;
  if (series === undefined) {
    bench.ledger.add(
      calculate(bench.moment, {
        ...base,
        figure: 'corner',
        unit: 'Hz',
        formula: '1 / (2π · C · R0)',
        inputs: [capacitance, r0],
        by: (c = 0, r = 0) => rcCorner(ohms(r), farads(c)),
        remark: 'treble falls from here on',
      }),
    );
    return;
  }
  const inputs = [capacitance, series, r0];
  const by =
    (pick: 'zero' | 'pole' | 'step') =>
    (c = 0, rs = 0, r = 0): Result<number> => {
      const step = seriesRcShunt({
        nodeResistance: ohms(r),
        seriesResistor: ohms(rs),
        capacitance: farads(c),
      });
      return step.ok ? found<number>(step.value[pick]) : step;
    };
  const all = [
    { ...base, figure: 'shelf-low', unit: 'Hz', formula: '1 / (2π · C · (Rs + R0))', inputs, by: by('pole') },
    { ...base, figure: 'shelf-high', unit: 'Hz', formula: '1 / (2π · C · Rs)', inputs, by: by('zero') },
    { ...base, figure: 'step-db', unit: 'dB', formula: '20 · log10(Rs / (Rs + R0))', inputs, by: by('step') },
  ] as const;
  for (const each of all) bench.ledger.add(calculate(bench.moment, each));
}

function findShunt(bench: StageBench, part: FittedPart): Shunt | undefined {
  const ends = endsOf(part);
  if (ends === undefined) return undefined;
  const isStill = (node: string) => signalNode(bench, node) === 'gnd';
  for (const [live, far] of [ends, [ends[1], ends[0]] as const]) {
    if (isStill(live)) continue;
    if (isStill(far)) return { live, to: far, refs: new Set([part.ref]) };
    const others = bench.look.partsAt(far).filter((each) => each !== part);
    const [next] = others;
    if (next === undefined || others.length > 1 || bench.look.at(far, 'g').length > 0) continue;
    const to = [...next.terminals.values()].find((node) => node !== far);
    if (to === undefined || to === live) continue;
    const series =
      next.class === 'potentiometer'
        ? rheostatBetween(bench, next, [far, to], 'Rs', 'without its ends')
        : next.class === 'resistor'
          ? resistanceOf(next)
          : undefined;
    if (series === undefined) return undefined;
    return { live, to, series: as('Rs', series), refs: new Set([part.ref, next.ref]) };
  }
  return undefined;
}

/** What stands at a place for signals without the network itself, by the parts and valves around it. */
function impedanceAt(bench: StageBench, { live, to, refs }: Shunt): FigureInput | undefined {
  const isBetween = signalNode(bench, to) !== 'gnd';
  const around = surroundingsOf(bench, refs, isBetween ? [live, to] : [live], 'around');
  if (!around.ok) return undefined;
  const { transformers, ...within } = around.value;
  const [transformer] = transformers;
  const loaded = transformer && transformerElements(bench, transformer);
  if (transformers.length > 1 || (transformer !== undefined && loaded === undefined)) return undefined;
  const unset = new Set<string>();
  const solve = (unwritten?: number) => {
    const circuit = signalElements(bench, { ...within, input: live, output: live }, unwritten);
    if (!circuit.ok) return undefined;
    for (const held of circuit.value.held) if (held.kind === 'setting' && held.isAssumed) unset.add(held.ref);
    const elements = [...circuit.value.elements, ...(loaded?.elements ?? [])];
    const seen = impedance({ elements }, { plus: live, ...(isBetween && { minus: to }) }, MIDDLE_ONLY);
    return seen.ok ? impedances(seen.value)[0] : undefined;
  };
  const told = solve();
  if (told === undefined || !(told > 0)) return undefined;
  const others = unset.size === 0 ? [] : UNWRITTEN.flatMap((setting) => solve(setting) ?? []);
  if (unset.size > 0 && others.length !== UNWRITTEN.length) return undefined;
  const low = Math.min(told, ...others);
  const high = Math.max(told, ...others);
  const isBand = high - low > 0.005 * told;
  const valves = [...within.valves].sort(compareNames).join(', ');
  const because = [
    `impedance at ${live}${isBetween ? ` against ${to}` : ''} by what is around it, at 1 kHz`,
    ...(valves === '' ? [] : [`${valves} at the catalogue’s typical point`]),
    ...(loaded === undefined ? [] : [loaded.words]),
    ...(isBand ? [`${[...unset].join(', ')} anywhere from ${UNWRITTEN.join(' to ')}`] : []),
  ].join('; ');
  return input('R0', `impedance at ${live}`, {
    quantity: quantity(told, 'Ohm'),
    ...(isBand && { low, high }),
    basis: isBand || loaded?.isAssumed === true ? 'assumed' : within.valves.size > 0 ? 'catalogue' : 'fitted',
    because,
  });
}

const MIDDLE_ONLY = [MIDDLE];
