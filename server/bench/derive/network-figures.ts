/**
 * Owns the figures of networks around a stage: what a grid loads the stage before with, where its own capacitance takes
 * treble away, the lift of a bright capacitor, and the corner where a loop's feedback begins to fall.
 */
import { brightNetwork } from '../../electronics/bright-network.ts';
import { gridStopperCorner } from '../../electronics/grid-stopper.ts';
import { millerInput } from '../../electronics/miller-input.ts';
import { rcCorner } from '../../electronics/rc-corner.ts';
import { found } from '../../electronics/result.ts';
import { farads, ohms, quantity, ratio } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart, Known } from '../model.ts';
import { armsOf } from '../signal-circuit.ts';
import { roleOf, type ValveAt } from './bench.ts';
import { assumed, calculate, input, inputFrom } from './figure.ts';
import { resistanceOf } from './resistors.ts';
import { as } from './set-readings.ts';
import { inParallel, loadAt } from './stage.ts';
import { capacitanceOf, type StageBench } from './stages.ts';

/** Builds on the gains of `stageFigures`. */
export function networkFigures(bench: StageBench): void {
  for (const valve of bench.valves) {
    inputImpedanceOf(bench, valve);
    millerCornerOf(bench, valve);
  }
  for (const part of bench.parts) {
    if (part.class !== 'capacitor') continue;
    const role = roleOf(bench, part.ref);
    if (role === 'bright') brightOf(bench, part);
    else if (role === 'feedback-shelf') presenceOf(bench, part);
  }
}

function stoppersOf(bench: StageBench, valve: ValveAt): readonly FittedPart[] {
  return bench.look.partsAt(valve.g).filter((part) => roleOf(bench, part.ref) === 'grid-stopper');
}

/** What the grid's own leaks, or those before its stopper, load the stage before with at mid band. */
function inputImpedanceOf(bench: StageBench, valve: ValveAt): void {
  if (valve.g === 'gnd') return;
  const stoppers = stoppersOf(bench, valve);
  const [stopper] = stoppers;
  const before = stopper && endsOf(stopper)?.find((node) => node !== valve.g);
  if (stoppers.length > 1) return;
  const load = loadAt(bench, before ?? valve.g);
  if (load.inputs.length === 0) return;
  const several = load.inputs.length > 1;
  const inputs = load.inputs.map((each, i) => as(several ? `Rg${i + 1}` : 'Rg', each));
  bench.ledger.add(
    calculate(bench.moment, {
      subject: valve.ref,
      figure: 'input-impedance',
      unit: 'Ohm',
      formula: inputs.map(({ symbol }) => symbol).join(' ∥ '),
      inputs,
      by: (...values) => found(inParallel(...values)),
      ...(load.remark !== undefined && {
        remark: load.remark.replace('the true corner is then lower', 'the true impedance is then higher'),
      }),
      assumed: load.remark !== undefined,
      source: valve.part.source,
    }),
  );
}

/** Where a stopper and the grid's capacitance, enlarged by the stage's own gain, begin to take treble away. */
function millerCornerOf(bench: StageBench, valve: ValveAt): void {
  const stoppers = stoppersOf(bench, valve);
  const [stopper] = stoppers;
  const resistance = stopper && resistanceOf(stopper);
  const capacitances = valve.valve?.capacitances;
  const gain = bench.ledger.find(valve.ref, 'gain');
  if (stopper === undefined || resistance === undefined || stoppers.length > 1) return;
  if (capacitances === undefined || gain === undefined) return;
  const type = valve.valve?.type ?? valve.ref;
  const ofSheet = (symbol: string, datum: (typeof capacitances)['gridAnode']): FigureInput => {
    const known: Known = {
      quantity: quantity(datum.value, 'F'),
      basis: 'catalogue',
      because: `${type}: ${datum.trust.source}`,
    };
    return input(symbol, `${type} ${symbol}`, known);
  };
  bench.ledger.add(
    calculate(bench.moment, {
      subject: stopper.ref,
      figure: 'corner',
      unit: 'Hz',
      formula: '1 / (2π · R · (Cgk + Cga · (1 + A)))',
      inputs: [
        resistance,
        ofSheet('Cgk', capacitances.gridCathode),
        ofSheet('Cga', capacitances.gridAnode),
        inputFrom('A', gain),
      ],
      by: (r = 0, cgk = 0, cga = 0, a = 0) => {
        const cin = millerInput({ gridCathode: farads(cgk), gridAnode: farads(cga), gain: ratio(a) });
        return cin.ok
          ? gridStopperCorner({ source: ohms(0), stopper: ohms(r), inputCapacitance: cin.value })
          : cin;
      },
      remark: 'treble limit; with the source before the stopper and the wiring counted it is lower',
      source: stopper.source,
    }),
  );
}

/** A control's arm as an input that says what its setting was taken from. */
function armInput(symbol: string, pot: FittedPart, arm: number, known: Known, because: string): FigureInput {
  const { source } = known;
  return input(symbol, pot.ref, {
    quantity: quantity(arm, 'Ohm'),
    basis: known.basis,
    ...(source && { source }),
    because,
  });
}

/** Arms of a control by its setting; undefined where it has no value. */
function armsFor(bench: StageBench, pot: FittedPart) {
  const arms = armsOf(bench, pot);
  if (arms === undefined || pot.value === undefined) return undefined;
  const { position, share, isAssumed } = arms.held;
  const percent = Number((100 * share).toPrecision(3));
  const at = position === undefined ? 'as its arms were read' : `at ${position}`;
  const because = `${pot.ref} ${at}${isAssumed ? ', taken since no setting is written' : ''}: ${percent} % below the wiper`;
  const known: Known = isAssumed ? { ...pot.value, basis: 'assumed' } : pot.value;
  return {
    upper: armInput('Rt', pot, arms.upper, known, because),
    lower: armInput('Rb', pot, arms.lower, known, because),
    because,
    isAssumed,
  };
}

function brightOf(bench: StageBench, part: FittedPart): void {
  const [ref] = bench.view.roles.get(part.ref)?.serves ?? [];
  const pot = ref === undefined ? undefined : bench.view.parts.get(ref);
  const arms = pot && armsFor(bench, pot);
  const capacitance = capacitanceOf(part);
  const around = (endsOf(part) ?? []).flatMap((node) => (node === 'gnd' ? [] : bench.look.partsAt(node)));
  const resistors = around.filter(
    (each) => each.class === 'resistor' && roleOf(bench, each.ref) === 'bright',
  );
  const [resistor] = resistors;
  const series = resistor && resistanceOf(resistor);
  if (arms === undefined || capacitance === undefined || resistors.length > 1) return;
  if (resistor !== undefined && series === undefined) return;
  const inputs = [capacitance, arms.upper, arms.lower, ...(series ? [as('Rs', series)] : [])];
  const by =
    (pick: 'zero' | 'pole' | 'step') =>
    (c = 0, rt = 0, rb = 0, rs = 0) => {
      const answer = brightNetwork({
        capacitance: farads(c),
        upper: ohms(rt),
        lower: ohms(rb),
        series: ohms(rs),
      });
      return answer.ok ? found<number>(answer.value[pick]) : answer;
    };
  const [one, two] = series ? ['(Rt + Rs)', '(Rs + Rt ∥ Rb)'] : ['Rt', '(Rt ∥ Rb)'];
  const step = series ? '20 · log10((Rt + Rb) / (Rb + Rt ∥ Rs))' : '20 · log10((Rt + Rb) / Rb)';
  const common = { subject: part.ref, inputs, source: part.source, remark: arms.because } as const;
  const all = [
    { ...common, figure: 'shelf-low', unit: 'Hz', formula: `1 / (2π · C · ${one})`, by: by('zero') },
    { ...common, figure: 'shelf-high', unit: 'Hz', formula: `1 / (2π · C · ${two})`, by: by('pole') },
    { ...common, figure: 'step-db', unit: 'dB', formula: step, by: by('step') },
  ] as const;
  for (const each of all) bench.ledger.add(calculate(bench.moment, each));
}

/** A capacitor from where feedback comes in to ground, by itself or through a control: above this the feedback falls. */
function presenceOf(bench: StageBench, part: FittedPart): void {
  const ends = endsOf(part);
  const capacitance = capacitanceOf(part);
  const node = ends?.find(
    (each) => each !== 'gnd' && bench.look.partsAt(each).some(({ ref }) => roleOf(bench, ref) === 'feedback'),
  );
  const far = ends?.find((each) => each !== node);
  if (node === undefined || far === undefined || capacitance === undefined || node === 'gnd') return;
  const feedback = bench.look.partsAt(node).filter(({ ref }) => roleOf(bench, ref) === 'feedback');
  const [only] = feedback;
  const rf = only && feedback.length === 1 ? resistanceOf(only) : undefined;
  const tails = bench.look
    .partsAt(node)
    .filter((each) => each.class === 'resistor' && each !== only && endsOf(each)?.includes('gnd') === true);
  const [tail] = tails;
  const rt = tail && tails.length === 1 ? resistanceOf(tail) : undefined;
  const control = far === 'gnd' ? undefined : controlAt(bench, far, part);
  if (rf === undefined || rt === undefined || (far !== 'gnd' && control === undefined)) return;
  // Across the feedback resistor itself the same capacitor does the opposite.
  if (endsOf(only ?? part)?.includes(far) === true) return;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'shelf-low',
      unit: 'Hz',
      formula: control ? '1 / (2π · C · (Rp + Rt ∥ Rf))' : '1 / (2π · C · (Rt ∥ Rf))',
      inputs: [capacitance, as('Rt', rt), as('Rf', rf), ...(control ? [control] : [])],
      by: (c = 0, t = 0, f = 0, p = 0) => rcCorner(ohms(p + inParallel(t, f)), farads(c)),
      remark: 'where the lift begins; where it ends goes by the loop’s gain, which is not known here',
      source: part.source,
    }),
  );
}

/** A resistor or a control between a capacitor and ground: at its setting where one is written, else anything up to the whole of it. */
function controlAt(bench: StageBench, node: string, from: FittedPart): FigureInput | undefined {
  const others = bench.look.partsAt(node).filter((part) => part !== from);
  const [part] = others;
  const resistance = part && resistanceOf(part);
  if (part === undefined || resistance === undefined || others.length > 1) return undefined;
  if (![...part.terminals.values()].includes('gnd')) return undefined;
  if (part.class === 'resistor') return as('Rp', resistance);
  if (part.class !== 'potentiometer') return undefined;
  const whole = resistance.known.quantity.value;
  const because = `${part.ref} anywhere between none and all of it`;
  return input('Rp', part.ref, assumed(whole / 2, 'Ohm', because, [0, whole]));
}
