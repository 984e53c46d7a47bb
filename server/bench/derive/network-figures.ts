/**
 * Owns the figures of a stage's input: what a grid loads the stage before with, and where its own capacitance takes treble
 * away. It says as well in which order the networks between stages follow.
 */
import { gridStopperCorner } from '../../electronics/grid-stopper.ts';
import { millerInput } from '../../electronics/miller-input.ts';
import { found } from '../../electronics/result.ts';
import { farads, ohms, quantity, ratio } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { FigureInput, FittedPart, Known } from '../model.ts';
import { roleOf, type ValveAt } from './bench.ts';
import { cathodeGains } from './cathode-gains.ts';
import { feedbackFigures } from './feedback-figures.ts';
import { as, calculate, input, inputFrom } from './figure.ts';
import { resistanceOf } from './resistors.ts';
import { inParallel, loadAt } from './stage.ts';
import type { StageBench } from './stages.ts';
import { toneFigures } from './tone-figures.ts';
import { trebleCutFigures } from './treble-cut-figures.ts';
import { volumeFigures } from './volume-figures.ts';

/** Builds on the gains of `stageFigures`. */
export function networkFigures(bench: StageBench): void {
  cathodeGains(bench);
  toneFigures(bench);
  for (const valve of bench.valves) {
    inputImpedanceOf(bench, valve);
    millerCornerOf(bench, valve);
  }
  for (const family of [feedbackFigures, volumeFigures, trebleCutFigures]) family(bench);
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
