/**
 * Owns the budget of the supply by what was read: all that is drawn from each rectified point, against rectifier and winding, and
 * the volts and ripple that the transformer should leave there under that load.
 */
import { usualPeakCurrent } from '../../electronics/rectifier-check.ts';
import { found, type Result, refused } from '../../electronics/result.ts';
import { type ReservoirState, settleReservoir } from '../../electronics/solver/reservoir.ts';
import { amperes, quantity } from '../../units/si.ts';
import { readSupplies, type Stiffness } from '../circuit-supplies.ts';
import type { Figure, FittedPart } from '../model.ts';
import { isSupplyRail } from '../points.ts';
import { ratedVolts } from '../windings.ts';
import type { SetBench } from './bench.ts';
import { assumed, calculate, input, inputFrom, knownBy } from './figure.ts';
import { loadCurrent } from './ripples.ts';
import { rectifiersAt } from './supply-limits.ts';
import { windingOf } from './unloaded-supply.ts';

export function supplyBudget(bench: SetBench): void {
  const fed = railsFed(bench);
  for (const node of fed) {
    const drawn = drawnFrom(bench, node);
    if (drawn === undefined) continue;
    const rectifiers = rectifiersAt(bench, node);
    rectifierShare(bench, rectifiers, drawn);
    // What a winding gives is known where it feeds this one point.
    if (fed.length === 1) windingShare(bench, rectifiers, drawn);
  }
}

function railsFed({ look }: SetBench): readonly string[] {
  return [...look.rectified].filter(isSupplyRail).sort();
}

/** The sum of what each part there takes, or what was read to be supplied. */
function drawnFrom(bench: SetBench, node: string): Figure | undefined {
  const load = loadCurrent(bench, node);
  const sum = bench.ledger.find(node, 'current');
  if (load === undefined || sum !== undefined) return sum;
  return bench.ledger.add(
    calculate(bench.moment, {
      subject: node,
      figure: 'current',
      unit: 'A',
      formula: '|I|',
      inputs: [load],
      by: (i = 0) => found(Math.abs(i)),
    }),
  );
}

/** A valve rectifier against the current of its sheet at the winding's volts, which is less at higher volts. */
function rectifierShare(bench: SetBench, rectifiers: readonly FittedPart[], drawn: Figure): void {
  const [first] = rectifiers;
  const valve = first?.type?.valve;
  const limits = valve?.rectifier;
  if (first === undefined || valve === undefined || limits === undefined) return;
  if (rectifiers.some((part) => part.type?.valve !== valve)) return;
  const fed = windingOf(bench, first);
  const volts = fed && ratedVolts(fed.winding);
  const rows = [...limits.anodeVoltage].sort((a, b) => a.rms - b.rms);
  const row = volts === undefined ? undefined : (rows.find((each) => each.rms >= volts) ?? rows.at(-1));
  const allowed = (row?.current ?? limits.current.value) * rectifiers.length;
  const source = `${valve.type}, ${valve.system}: ${limits.current.trust.source}`;
  const most = knownBy(allowed, 'A', 'catalogue', source);
  const limit = { quantity: most.quantity, source };
  bench.ledger.add(
    calculate(bench.moment, {
      subject: first.ref,
      figure: 'current-loading',
      unit: '1',
      formula: 'I / Imax',
      inputs: [inputFrom('I', drawn), input('Imax', `${valve.type} direct current`, most)],
      by: share,
      source: first.source,
      limit,
      remark: row === undefined ? undefined : `at up to ${row.rms} V rms an anode`,
    }),
  );
  const peak = limits.peakCurrent;
  bench.ledger.add(
    calculate(bench.moment, {
      subject: first.ref,
      figure: 'peak-current',
      unit: 'A',
      formula: 'k · I',
      inputs: [PEAK_OVER_DIRECT, inputFrom('I', drawn)],
      by: (k = 0, i = 0): Result<number> => {
        const band = usualPeakCurrent(amperes(i));
        return band.ok ? found((k * band.value.low) / 3.5) : band;
      },
      source: first.source,
      limit: peak && { quantity: quantity(peak.value, 'A'), source: `${valve.type}: ${peak.trust.source}` },
    }),
  );
}

const PEAK_OVER_DIRECT = input(
  'k',
  'peak over direct current',
  assumed(4.75, '1', 'each anode passes 3.5 to 6 times the direct current at its peaks (computed)', [3.5, 6]),
);

const share = (i = 0, most = 0): Result<number> => (most > 0 ? found(i / most) : refused('no limit'));

/** The winding's own rating: by the direct current, which its rms current is above. */
function windingShare(bench: SetBench, rectifiers: readonly FittedPart[], drawn: Figure): void {
  const [first] = rectifiers;
  const fed = first && windingOf(bench, first);
  const written = fed?.winding.current;
  if (fed === undefined || written?.kind !== 'value' || !(written.value.quantity.value > 0)) return;
  const { transformer, winding } = fed;
  const rated = quantity(written.value.quantity.value, 'A');
  bench.ledger.add(
    calculate(bench.moment, {
      subject: transformer.ref,
      figure: 'current-loading',
      unit: '1',
      formula: 'I / Imax',
      inputs: [
        inputFrom('I', drawn),
        input(
          'Imax',
          `${transformer.ref} winding`,
          knownBy(rated.value, 'A', 'fitted', undefined, {
            file: transformer.source.file,
            span: winding.span,
          }),
        ),
      ],
      by: share,
      source: transformer.source,
      limit: { quantity: rated, source: `marked on the winding of ${transformer.ref}` },
      remark: 'by the direct current; the rms current of a winding into a reservoir is up to twice that',
    }),
  );
}

/** What the transformer leaves at the reservoir under the load that was read, the reservoir filled and emptied step by step. */
export function supplyUnderLoad(bench: SetBench): void {
  const drawn = new Map(
    railsFed(bench).flatMap((node) => {
      const figure = bench.ledger.find(node, 'current');
      return figure === undefined ? [] : [[node, figure] as const];
    }),
  );
  if (drawn.size === 0) return;
  // The mains is that of this set.
  const view = { ...bench.view, verdictSet: bench.set, figures: [], offers: [], unanswered: [] };
  const { supplies } = readSupplies(view, bench.look, bench.sheets);
  for (const supply of supplies) {
    const current = drawn.get(supply.node);
    if (current === undefined || supply.isNegative) continue;
    const at = (stiffness: Stiffness, load: number): Result<ReservoirState> =>
      settleReservoir(supply.element(stiffness), { kind: 'current', current: amperes(load) });
    const { value } = current.quantity;
    const states = [at('usual', value), at('weak', current.high ?? value), at('stiff', current.low ?? value)];
    const [usual, weak, stiff] = states;
    if (usual?.ok !== true || weak?.ok !== true || stiff?.ok !== true) continue;
    const make = (
      figure: 'loaded-voltage' | 'loaded-ripple',
      pick: (state: ReservoirState) => number,
    ): void => {
      const values = [usual, weak, stiff].map((state) => pick(state.value));
      bench.ledger.add(
        calculate(bench.moment, {
          subject: supply.node,
          figure,
          unit: 'V',
          formula: 'C · dV/dt = Irect − I, stepped until it repeats',
          inputs: [inputFrom('I', current), ...supply.inputs],
          by: () => found(pick(usual.value)),
          remark: supply.remark,
          band: [Math.min(...values), Math.max(...values)],
        }),
      );
    };
    make('loaded-voltage', ({ mean }) => mean);
    make('loaded-ripple', ({ ripplePeakToPeak }) => ripplePeakToPeak);
  }
}
