/** Owns what feeds a rectified node while nothing draws on it: which winding, how far it rises, and the mains at its highest. */
import type { Winding } from '../../dialect/tree.ts';
import type { RectifierCircuit } from '../../electronics/cold-start-voltage.ts';
import { rectifierEnds } from '../look.ts';
import type { FigureInput, FittedPart } from '../model.ts';
import { findSecondary, REGULATION, ratedVolts, windingNamed } from '../windings.ts';
import { type PhaseBench, roleOf } from './bench.ts';
import { assumed, input, knownBy } from './figure.ts';
import { usualHighMains } from './mains.ts';

export interface ColdSupply {
  readonly winding: FigureInput;
  readonly rise: FigureInput;
  readonly mains: FigureInput;
  readonly circuit: RectifierCircuit;
  readonly remark: string;
}

export function supplyAt(bench: PhaseBench, node: string): ColdSupply | undefined {
  const rectifiers = bench.look.partsAt(node).filter((part) => roleOf(bench, part.ref) === 'rectifier');
  const [rectifier] = rectifiers;
  if (rectifier === undefined) return undefined;
  const source = windingOf(bench, rectifier);
  if (source === undefined) return undefined;
  const { winding, transformer } = source;
  const rms = ratedVolts(winding);
  if (rms === undefined) return undefined;
  const isValve = rectifiers.some((part) => part.class === 'valve');
  const circuit: RectifierCircuit = winding.centreTapped
    ? 'centre-tap'
    : rectifiers.length > 1 || isValve
      ? 'bridge'
      : 'half-wave';
  const heating = rectifiers[0]?.type?.valve?.rectifier?.heating;
  const high = usualHighMains(bench.sheets);
  const { least, usual, most } = REGULATION;
  return {
    winding: input(
      'Vrms',
      `${transformer.ref} winding`,
      knownBy(rms, 'V', 'fitted', undefined, { file: transformer.source.file, span: winding.span }),
    ),
    rise: input(
      'r',
      'no-load rise',
      assumed(
        usual,
        '1',
        `winding rises by ${least * 100}–${most * 100} % without load (common practice, no source)`,
        [least, most],
      ),
    ),
    mains: input(
      'm',
      'high mains',
      assumed(
        high.factor,
        '1',
        `mains ${Number(((high.factor - 1) * 100).toPrecision(2))} % high (${high.trust.source})`,
      ),
    ),
    circuit,
    remark:
      heating === 'indirect'
        ? 'an indirectly heated rectifier warms up with the valves and softens this'
        : 'valves cold, no current drawn',
  };
}

/** The winding at a rectifier's anode: by its number, else the transformer's highest voltage. */
export function windingOf(
  bench: PhaseBench,
  rectifier: FittedPart,
): { winding: Winding; transformer: FittedPart } | undefined {
  for (const node of rectifierEnds(rectifier, bench.view.parts).anodes) {
    const named = windingNamed(node);
    const transformer = named === undefined ? undefined : bench.view.parts.get(named.ref);
    if (transformer === undefined) continue;
    const winding = findSecondary(transformer, named?.index) ?? findSecondary(transformer, undefined);
    if (winding !== undefined) return { winding, transformer };
  }
  return undefined;
}
