/** Owns what hangs together for signals around a place: its parts and valves, and an output transformer with the loudspeakers on its taps. */
import { parallelResistance } from '../../electronics/combined-resistance.ts';
import { found, type Result, refused } from '../../electronics/result.ts';
import type { Element, Winding } from '../../electronics/solver/netlist.ts';
import { ohms, ratio } from '../../units/si.ts';
import type { FittedPart } from '../model.ts';
import { type SignalRegion, signalNode } from '../signal-circuit.ts';
import { type PhaseBench, roleOf } from './bench.ts';

/** More parts than this are no amplifier stage, but a drawing without rails. */
const WIDEST = 80;

export interface Surroundings extends Pick<SignalRegion, 'refs' | 'valves' | 'atRest'> {
  readonly transformers: readonly FittedPart[];
}

/**
 * Everything that hangs together for signals around some places, but for what is cut out: through parts, and through valves
 * between anode and cathode; `onward` from a grid as well. Grids that are not reached stand still.
 */
export function surroundingsOf(
  bench: PhaseBench,
  cut: ReadonlySet<string>,
  starts: readonly string[],
  how: 'onward' | 'around',
): Result<Surroundings> {
  const refs = new Set<string>();
  const valves = new Set<string>();
  const transformers = new Set<FittedPart>();
  const reached = new Set<string>();
  const open: string[] = [];
  const reach = (node: string): void => {
    if (reached.has(node) || signalNode(bench, node) === 'gnd') return;
    reached.add(node);
    open.push(node);
  };
  for (const node of starts) reach(node);
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    for (const { ref, a, k, g } of bench.valves) {
      if (a !== node && k !== node && (g !== node || how === 'around')) continue;
      valves.add(ref);
      reach(a);
      reach(k);
    }
    for (const part of bench.look.partsAt(node)) {
      if (part.class === 'valve' || refs.has(part.ref) || cut.has(part.ref)) continue;
      if (roleOf(bench, part.ref) === 'output-transformer') {
        transformers.add(part);
        continue;
      }
      if (part.class === 'connector' || part.class === 'test-point' || part.class === 'tank') continue;
      refs.add(part.ref);
      if (refs.size > WIDEST) return refused('too much hangs together');
      for (const end of part.terminals.values()) reach(end);
    }
  }
  const atRest = bench.valves.flatMap(({ ref, g }) =>
    valves.has(ref) && !reached.has(g) && signalNode(bench, g) !== 'gnd' ? [g] : [],
  );
  return found({ refs, valves, atRest: [...new Set(atRest)], transformers: [...transformers] });
}

/** An output transformer by its impedances, with what hangs on its taps; nothing hanging there, a matched load on `tap` or its first. */
export function transformerElements(
  bench: PhaseBench,
  part: FittedPart,
  tap?: string,
):
  | { readonly elements: readonly Element[]; readonly words: string; readonly isAssumed: boolean }
  | undefined {
  const written = part.specification?.windings.find(({ side }) => side === 'primary')?.impedance;
  const primary = written?.kind === 'value' ? written.value.quantity.value : undefined;
  const [p1, p2, ct] = ['p1', 'p2', 'ct'].map((terminal) => part.terminals.get(terminal));
  if (primary === undefined || !(primary > 0) || p1 === undefined || p2 === undefined) return undefined;
  const at = (node: string): string => signalNode(bench, node);
  const turns = ratio(Math.sqrt(primary) / (ct === undefined ? 1 : 2));
  const windings: Winding[] =
    ct === undefined
      ? [{ start: at(p1), end: at(p2), turns }]
      : [
          { start: at(p1), end: at(ct), turns },
          { start: at(ct), end: at(p2), turns },
        ];
  const loads: Element[] = [];
  const said: string[] = [];
  let own: { readonly node: string; readonly impedance: number } | undefined;
  for (const [terminal, node] of part.terminals) {
    const impedance = Number(/^(\d+(?:\.\d+)?)R$/.exec(terminal)?.[1]);
    if (!(impedance > 0)) continue;
    windings.push({ start: node, end: 'gnd', turns: ratio(Math.sqrt(impedance)) });
    if (node === tap || (tap === undefined && own === undefined)) own = { node, impedance };
    const speakers = bench.look.partsAt(node).flatMap((each) => {
      const value = each.class === 'loudspeaker' ? each.impedance?.quantity.value : undefined;
      return value === undefined ? [] : [{ ref: each.ref, value }];
    });
    const together = parallelResistance(speakers.map(({ value }) => ohms(value)));
    if (!together.ok) continue;
    loads.push({ kind: 'resistor', name: `load ${node}`, from: node, to: 'gnd', resistance: together.value });
    said.push(`${speakers.map(({ ref }) => ref).join(' and ')} on ${node}`);
  }
  if (own === undefined) return undefined;
  const isAssumed = loads.length === 0;
  if (isAssumed) {
    const { node, impedance } = own;
    loads.push({
      kind: 'resistor',
      name: `load ${node}`,
      from: node,
      to: 'gnd',
      resistance: ohms(impedance),
    });
    said.push(`${impedance} Ω taken to be on ${node}`);
  }
  return {
    elements: [{ kind: 'transformer', name: part.ref, windings }, ...loads],
    words: said.join(', '),
    isAssumed,
  };
}
