/**
 * Owns what a supply asks of its parts whatever is read: the inverse voltage on each rectifier at high mains without load, the
 * reservoir against what a valve rectifier bears, and the heaters against their winding.
 */
import { findDiode } from '../../catalogue/diode-facts.ts';
import type { Winding } from '../../dialect/tree.ts';
import { heaterWindingLoading } from '../../electronics/heater-budget.ts';
import { peakInverseVoltage } from '../../electronics/rectifier-check.ts';
import { found, refused } from '../../electronics/result.ts';
import { amperes, type Quantity, quantity, ratio, volts } from '../../units/si.ts';
import { endsOf } from '../look.ts';
import type { Figure, FittedPart } from '../model.ts';
import { type PhaseBench, roleOf } from './bench.ts';
import { as, calculate, input, inputFrom, knownBy } from './figure.ts';
import { capacitanceOf, type StageBench } from './stages.ts';
import { type ColdSupply, supplyAt } from './unloaded-supply.ts';

export function supplyLimits(bench: StageBench): void {
  for (const node of [...bench.look.rectified].sort()) {
    const supply = supplyAt(bench, node);
    for (const part of rectifiersAt(bench, node)) {
      if (supply !== undefined) inverseOf(bench, part, supply);
      reservoirShare(bench, part, node);
    }
  }
  heaterShare(bench);
}

/** Rectifiers whose cathode is at a node. */
export function rectifiersAt(bench: PhaseBench, node: string): readonly FittedPart[] {
  return bench.look.partsAt(node).filter((part) => roleOf(bench, part.ref) === 'rectifier');
}

function inverseOf(bench: StageBench, part: FittedPart, { winding, rise, mains, circuit }: ColdSupply): void {
  // Diodes in series share what they hold off, each as it likes.
  if ((part.string?.length ?? 1) > 1) return;
  const limit = inverseLimit(part);
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'peak-inverse',
      unit: 'V',
      formula: `${circuit === 'bridge' ? '' : '2 · '}√2 · Vrms · (1 + r) · m`,
      inputs: [winding, rise, mains],
      by: (v = 0, r = 0, m = 0) =>
        peakInverseVoltage({ winding: volts(v), rise: ratio(r), mains: ratio(m), circuit }),
      source: part.source,
      limit,
      remark:
        circuit === 'centre-tap'
          ? 'at high mains without load; twice the peak of one half, as the other half lifts its cathode'
          : 'at high mains without load',
    }),
  );
}

function inverseLimit(part: FittedPart): Figure['limit'] | undefined {
  const limit = part.type?.valve?.rectifier?.peakInverse;
  if (limit !== undefined)
    return {
      quantity: quantity(limit.value, 'V'),
      source: `${part.type?.valve?.type ?? ''}: ${limit.trust.source}`,
    };
  const marked = part.ratings.voltage;
  if (marked !== undefined) return { quantity: marked.quantity, source: `marked on ${part.ref}` };
  const diode = part.class === 'diode' && part.type !== undefined ? findDiode(part.type.text) : undefined;
  return (
    diode && { quantity: quantity(diode.peakInverse, 'V'), source: `${diode.type}: ${diode.trust.source}` }
  );
}

/** All reservoirs together against the largest that the rectifier's sheet allows. */
function reservoirShare(bench: StageBench, part: FittedPart, node: string): void {
  const limit = part.type?.valve?.rectifier?.reservoir;
  const type = part.type?.valve?.type ?? '';
  const reservoirs = bench.look
    .partsAt(node)
    .filter((each) => each.class === 'capacitor' && roleOf(bench, each.ref) === 'reservoir');
  // Of a string only the whole counts, which its own figures tell.
  if (limit === undefined || reservoirs.some((each) => endsOf(each)?.includes('gnd') !== true)) return;
  const values = reservoirs.flatMap((each) => capacitanceOf(each) ?? []);
  if (values.length === 0 || values.length < reservoirs.length) return;
  const named = values.map((each, i) => as(values.length > 1 ? `C${i + 1}` : 'C', each));
  const sum = named.map(({ symbol }) => symbol).join(' + ');
  const source = `${type}: ${limit.trust.source}`;
  const most = knownBy(limit.value, 'F', 'catalogue', source);
  bench.ledger.add(
    calculate(bench.moment, {
      subject: part.ref,
      figure: 'reservoir-loading',
      unit: '1',
      formula: `${named.length > 1 ? `(${sum})` : sum} / Cmax`,
      inputs: [...named, input('Cmax', `${type} largest reservoir`, most)],
      by: (...all) => {
        const allowed = all.at(-1) ?? 0;
        const total = all.slice(0, -1).reduce((c, each) => c + each, 0);
        return allowed > 0 ? found(total / allowed) : refused('no limit');
      },
      source: part.source,
      limit: { quantity: most.quantity, source },
    }),
  );
}

/** The 6.3 V heaters against what the windings of that voltage give; nothing where two transformers have such. */
function heaterShare(bench: StageBench): void {
  const drawn = bench.ledger.find('heaters', 'heater-current');
  const heating = bench.parts.filter((part) => heaterWindings(part, 6.3).length > 0);
  const [transformer] = heating;
  // With a winding of twice the volts some of them may hang on that one in series.
  const isElsewhere = bench.parts.some((part) => heaterWindings(part, 12.6).length > 0);
  if (drawn === undefined || transformer === undefined || heating.length > 1 || isElsewhere) return;
  const windings = heaterWindings(transformer, 6.3);
  const rated = windings.flatMap(({ current, span }) =>
    current?.kind === 'value' && current.value.quantity.value > 0
      ? [{ of: current.value.quantity as Quantity<'A'>, span }]
      : [],
  );
  if (rated.length < windings.length) return;
  const file = transformer.source.file;
  const inputs = rated.map(({ of, span }, i) =>
    input(
      rated.length > 1 ? `Imax${i + 1}` : 'Imax',
      `${transformer.ref} heater winding`,
      knownBy(of.value, 'A', 'fitted', undefined, { file, span }),
    ),
  );
  const total = rated.reduce((sum, { of }) => sum + of.value, 0);
  bench.ledger.add(
    calculate(bench.moment, {
      subject: transformer.ref,
      figure: 'heater-loading',
      unit: '1',
      formula: `I / ${inputs.length > 1 ? `(${inputs.map(({ symbol }) => symbol).join(' + ')})` : 'Imax'}`,
      inputs: [inputFrom('I', drawn), ...inputs],
      by: (i = 0, ...most) =>
        heaterWindingLoading(amperes(i), amperes(most.reduce((sum, each) => sum + each, 0))),
      source: transformer.source,
      limit: { quantity: quantity(total, 'A'), source: `marked on the 6.3 V winding of ${transformer.ref}` },
      remark: bench.parts.some((part) => part.class === 'lamp') ? 'pilot lamps are not counted' : undefined,
    }),
  );
}

function heaterWindings({ specification }: FittedPart, wanted: number): readonly Winding[] {
  return (specification?.windings ?? []).filter(
    ({ side, volts: written }) =>
      side === 'secondary' &&
      written?.kind === 'value' &&
      Math.abs(written.value.quantity.value - wanted) <= 0.2,
  );
}
