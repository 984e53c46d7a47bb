/**
 * Owns what a volume control takes away at its setting, and the treble that a small capacitor lets past it, or past a fixed
 * resistor between two stages.
 */
import { brightNetwork } from '../../electronics/bright-network.ts';
import { voltageDecibels } from '../../electronics/decibels.ts';
import { divider } from '../../electronics/divider.ts';
import { found, type Result, refused } from '../../electronics/result.ts';
import { farads, ohms } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { roleOf } from './bench.ts';
import { findArms, overSettings } from './controls.ts';
import { as, calculate } from './figure.ts';
import { resistanceOf } from './resistors.ts';
import { inParallel, loadAt } from './stage.ts';
import { capacitanceOf, type StageBench } from './stages.ts';

export function volumeFigures(bench: StageBench): void {
  for (const part of bench.parts) {
    if (part.class === 'potentiometer' && isVolume(bench, part)) levelOf(bench, part);
    else if (part.class === 'capacitor' && roleOf(bench, part.ref) === 'bright') brightOf(bench, part);
  }
}

function isVolume(bench: StageBench, part: FittedPart): boolean {
  return bench.view.roles.get(part.ref)?.network?.name === 'volume';
}

/** What follows the wiper of a control, besides the grid that it drives. */
function loadsBehind(bench: StageBench, pot: FittedPart): readonly FigureInput[] {
  const wiper = pot.terminals.get('2');
  return wiper === undefined ? [] : loadAt(bench, wiper).inputs.filter(({ name }) => name !== pot.ref);
}

/** The upper arm is the one with the signal, whichever way round the control is wired. */
function signalArms(bench: StageBench, pot: FittedPart) {
  const arms = findArms(bench, pot);
  if (arms === undefined || pot.terminals.get('3') !== 'gnd') return arms;
  return { upper: as('Rt', arms.lower), lower: as('Rb', arms.upper), because: arms.because };
}

/** Nothing where no setting is known: a volume control may stand anywhere. */
function levelOf(bench: StageBench, part: FittedPart): void {
  const arms = signalArms(bench, part);
  if (arms === undefined) return;
  const loads = loadsBehind(bench, part).map((each, i, all) =>
    as(all.length > 1 ? `Rg${i + 1}` : 'Rg', each),
  );
  const below = loads.length === 0 ? 'Rb' : `(${['Rb', ...loads.map(({ symbol }) => symbol)].join(' ∥ ')})`;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'gain-db',
      unit: 'dB',
      formula: `20 · log10(${below} / (Rt + ${below}))`,
      inputs: [arms.upper, arms.lower, ...loads],
      by: (rt = 0, rb = 0, ...rest): Result<number> => {
        if (!(rb > 0)) return refused('turned down');
        const load = inParallel(...rest);
        const divided = divider({
          upper: ohms(rt),
          lower: ohms(rb),
          ...(Number.isFinite(load) && { load: ohms(load) }),
        });
        return divided.ok ? voltageDecibels(divided.value.fraction) : divided;
      },
      remark: arms.because,
      source: part.source,
    }),
  );
}

type Pick = 'zero' | 'pole' | 'step';

function brightOf(bench: StageBench, part: FittedPart): void {
  const [ref] = bench.view.roles.get(part.ref)?.serves ?? [];
  const past = ref === undefined ? undefined : bench.view.parts.get(ref);
  const capacitance = capacitanceOf(part);
  if (past === undefined || capacitance === undefined) return;
  const around = (endsOf(part) ?? []).flatMap((node) => (node === 'gnd' ? [] : bench.look.partsAt(node)));
  const resistors = [
    ...new Set(around.filter((each) => each.class === 'resistor' && roleOf(bench, each.ref) === 'bright')),
  ];
  const [resistor] = resistors;
  const series = resistor && resistanceOf(resistor);
  if (resistors.length > 1 || (resistor !== undefined && series === undefined)) return;
  const rs = series ? [as('Rs', series)] : [];
  if (past.class !== 'potentiometer') {
    const upper = resistanceOf(past);
    const lower = lowerOf(bench, past);
    if (upper !== undefined && lower.length > 0)
      addShelf(bench, part, [capacitance, as('Rt', upper), ...rs], lower, series !== undefined);
    return;
  }
  const arms = signalArms(bench, past);
  if (arms !== undefined) {
    const lower = [arms.lower, ...loadsBehind(bench, past)];
    addShelf(bench, part, [capacitance, arms.upper, ...rs], lower, series !== undefined, arms.because);
    return;
  }
  addBands(bench, part, past, capacitance, rs);
}

/** What lies from the far end of a fixed resistor to ground. */
function lowerOf(bench: StageBench, resistor: FittedPart): readonly FigureInput[] {
  const ends = endsOf(resistor) ?? [];
  const grid = ends.find((node) => bench.look.at(node, 'g').length > 0) ?? ends[1];
  return grid === undefined
    ? []
    : loadAt(bench, grid).inputs.filter(({ name }) => !name.includes(resistor.ref));
}

function addShelf(
  bench: StageBench,
  part: FittedPart,
  upper: readonly FigureInput[],
  lower: readonly FigureInput[],
  hasSeries: boolean,
  remark?: string,
): void {
  const named = lower.map((each, i) => as(lower.length > 1 ? `Rb${i + 1}` : 'Rb', each));
  const rb = named.length > 1 ? `(${named.map(({ symbol }) => symbol).join(' ∥ ')})` : 'Rb';
  const inputs = [...upper, ...named];
  const by =
    (pick: Pick) =>
    (c = 0, rt = 0, ...rest: readonly number[]): Result<number> => {
      const series = hasSeries ? (rest[0] ?? 0) : 0;
      return picked({ c, rt, rb: inParallel(...rest.slice(hasSeries ? 1 : 0)), rs: series }, pick);
    };
  const [one, two] = hasSeries ? ['(Rt + Rs)', `(Rs + Rt ∥ ${rb})`] : ['Rt', `(Rt ∥ ${rb})`];
  const whole = hasSeries ? `(${rb} + Rt ∥ Rs)` : rb;
  const common = { subject: part.ref, inputs, source: part.source, ...(remark && { remark }) } as const;
  const all = [
    { ...common, figure: 'shelf-low', unit: 'Hz', formula: `1 / (2π · C · ${one})`, by: by('zero') },
    { ...common, figure: 'shelf-high', unit: 'Hz', formula: `1 / (2π · C · ${two})`, by: by('pole') },
    {
      ...common,
      figure: 'step-db',
      unit: 'dB',
      formula: `20 · log10((Rt + ${rb}) / ${whole})`,
      by: by('step'),
    },
  ] as const;
  for (const each of all) bench.ledger.add(calculate(bench.moment, each));
}

/** The same where nobody wrote a setting: each by all that it may be. */
function addBands(
  bench: StageBench,
  part: FittedPart,
  pot: FittedPart,
  capacitance: FigureInput,
  series: readonly FigureInput[],
): void {
  const rs = series[0]?.known.quantity.value ?? 0;
  const isTurned = pot.terminals.get('3') === 'gnd';
  const over = (symbol: string, unit: 'Ohm' | '1', by: (rt: number, rb: number) => number) =>
    overSettings(bench, pot, symbol, unit, (upper, lower) =>
      isTurned ? by(lower, upper) : by(upper, lower),
    );
  const rt = over('Rt', 'Ohm', (top) => top);
  const rq = over('Rq', 'Ohm', (top, bottom) => inParallel(top, bottom));
  const k = over('k', '1', (top, bottom) => (top + bottom) / (bottom + (rs > 0 ? inParallel(top, rs) : 0)));
  if (rt === undefined || rq === undefined || k === undefined) return;
  const base = { subject: part.ref, source: part.source } as const;
  const corner = (c = 0, r = 0, s = 0): Result<number> =>
    c > 0 && r + s > 0 ? found(1 / (2 * Math.PI * c * (r + s))) : refused('no resistance');
  const plus = series.length > 0 ? ' + Rs)' : '';
  const open = series.length > 0 ? '(' : '';
  const because = `Rq = Rt ∥ Rb of ${pot.ref}`;
  const all = [
    {
      ...base,
      figure: 'shelf-low',
      unit: 'Hz',
      formula: `1 / (2π · C · ${open}Rt${plus})`,
      inputs: [capacitance, rt, ...series],
      by: corner,
    },
    {
      ...base,
      figure: 'shelf-high',
      unit: 'Hz',
      formula: `1 / (2π · C · ${open}Rq${plus})`,
      inputs: [capacitance, rq, ...series],
      by: corner,
      remark: because,
    },
    {
      ...base,
      figure: 'step-db',
      unit: 'dB',
      formula: '20 · log10(k)',
      inputs: [k],
      by: (ratio = 0): Result<number> =>
        ratio > 0 ? found(20 * Math.log10(ratio)) : refused('nothing passes'),
      remark: series.length > 0 ? 'k = (Rt + Rb) / (Rb + Rt ∥ Rs)' : 'k = (Rt + Rb) / Rb',
    },
  ] as const;
  for (const each of all) bench.ledger.add(calculate(bench.moment, each));
}

function picked(of: { c: number; rt: number; rb: number; rs: number }, pick: Pick): Result<number> {
  const answer = brightNetwork({
    capacitance: farads(of.c),
    upper: ohms(of.rt),
    lower: ohms(of.rb),
    series: ohms(of.rs),
  });
  return answer.ok ? found<number>(answer.value[pick]) : answer;
}
