/** Owns the current into an anode where it is known by itself: read, by the drop over half of the output transformer, or over an anode load. */
import { currentThrough } from '../../electronics/ohmic.ts';
import { found, refused } from '../../electronics/result.ts';
import { ohms, volts } from '../../units/si.ts';
import type { Figure, FigureInput } from '../model.ts';
import { findOnTransformer } from '../windings.ts';
import { isLoadOf, roleOf, type SetBench, type ValveAt } from './bench.ts';
import { as, calculate, input, inputFrom } from './figure.ts';

export const READ_ANODE = 'Ia as read';

/** Current read into the anode itself. */
export function anodeCurrentRead(bench: SetBench, valve: ValveAt): Figure | undefined {
  const direct = bench.read.currentAt(`${valve.ref}.a`);
  if (direct === undefined) return undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    formula: READ_ANODE,
    inputs: [as('Ia', direct)],
    by: (i = 0) => found(Math.abs(i)),
    source: valve.part.source,
  });
}

/** Anode current by the drop over this valve's half of the output transformer, where that half's resistance was read. */
export function anodeCurrentByTransformer(bench: SetBench, valve: ValveAt): Figure | undefined {
  const { moment, read } = bench;
  const half = findHalf(bench, valve);
  if (half === undefined) return undefined;
  const remark = `by the drop over ${half.resistance.name}; hot copper reads about 12 % higher for each 30 °C`;
  const between = read.voltsBetween(valve.a, half.supply);
  if (between !== undefined) {
    return calculate(moment, {
      subject: valve.ref,
      figure: 'anode-current',
      unit: 'A',
      formula: 'V / R',
      inputs: [between, half.resistance],
      by: (v = 0, r = 0) => currentThrough(volts(Math.abs(v)), ohms(r)),
      source: valve.part.source,
      remark,
    });
  }
  const both = read.voltsOfBoth(half.supply, valve.a);
  if (both === undefined) return undefined;
  const [supply, anode] = both;
  return calculate(moment, {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    formula: '(Vb − Va) / R',
    inputs: [as('Vb', supply), as('Va', anode), half.resistance],
    by: (vb = 0, va = 0, r = 0) =>
      vb > va ? currentThrough(volts(vb - va), ohms(r)) : refused('anode not below its supply'),
    source: valve.part.source,
    remark,
  });
}

function findHalf(bench: SetBench, valve: ValveAt): { resistance: FigureInput; supply: string } | undefined {
  for (const part of bench.outputTransformers) {
    const terminal = [...part.terminals].find(([name, node]) => /^p\d+$/.test(name) && node === valve.a)?.[0];
    const tap = part.terminals.get('ct') ?? part.terminals.get('p2');
    if (terminal === undefined || tap === undefined || tap === valve.a) continue;
    const halves = findOnTransformer(bench.view, part, 'halves');
    const known = terminal === 'p1' ? halves?.value : halves?.second;
    if (known !== undefined)
      return { resistance: input('R', `${part.ref} half at ${valve.ref}`, known), supply: tap };
    const whole = findOnTransformer(bench.view, part, 'resistance');
    if (whole !== undefined && part.terminals.get('p2') === tap) {
      return { resistance: input('R', part.ref, whole.value), supply: tap };
    }
  }
  // Read from the anode to its supply with the amplifier off.
  const ohmic = bench.ohmicAt.get(valve.a);
  const supply = ohmic?.node === valve.a ? ohmic.toNode : ohmic?.node;
  if (ohmic === undefined || supply === undefined || !(ohmic.value.quantity.value > 0)) return undefined;
  return { resistance: input('R', `${ohmic.at} to ${ohmic.to ?? ''}`, ohmic.value), supply };
}

/** Anode current by the drop over an anode load, or a sense resistor in the anode's lead, of this valve alone. */
export function anodeCurrentByLoad(bench: SetBench, valve: ValveAt): Figure | undefined {
  const isAlone = bench.look.at(valve.a, 'a').length === 1;
  const there = isAlone ? bench.look.partsAt(valve.a) : [];
  const load =
    there.find((part) => roleOf(bench, part.ref) === 'sense-resistor') ??
    there.find((part) => isLoadOf(bench, part.ref, valve.ref));
  const current = load && bench.ledger.find(load.ref, 'current');
  if (current === undefined) return undefined;
  return calculate(bench.moment, {
    subject: valve.ref,
    figure: 'anode-current',
    unit: 'A',
    formula: 'I',
    inputs: [inputFrom('I', current)],
    by: (i = 0) => found(i),
    source: valve.part.source,
    remark: `by the drop over ${load?.ref ?? ''}`,
  });
}
