/**
 * Owns the small-signal circuit around one part: from the grid that drives it to the grid that hears it. Supplies stand
 * still there, a feedback loop is open, and what was taken for granted is listed.
 */

import { found, type Result, refused } from '../electronics/result.ts';
import type { Element } from '../electronics/solver/netlist.ts';
import { farads, henries, ohms, siemens } from '../units/si.ts';
import { type PhaseBench, roleOf, type ValveAt } from './derive/bench.ts';
import { resistanceOf } from './derive/resistors.ts';
import { constantsOf } from './derive/stage.ts';
import { capacitanceOf } from './derive/stages.ts';
import { endsOf } from './look.ts';
import { type FittedPart, findValueInUse, type PhaseView } from './model.ts';
import { compareNames, isBiasNode, isRail, isSecondary } from './points.ts';

/** What was taken for granted, or held as it stands, to get a number. */
export type Held =
  /** Every other part as it is fitted in this phase. */
  | { readonly kind: 'parts'; readonly phase: PhaseView['phase'] }
  /** Direct volts and currents of average new valves, solved; not read. */
  | { readonly kind: 'average-valves' }
  /** The readings of this set. */
  | { readonly kind: 'readings'; readonly phase: PhaseView['phase']; readonly set: number }
  | { readonly kind: 'load-current' }
  /** Anode resistance and amplification of the catalogue's typical point. */
  | { readonly kind: 'valve-constants'; readonly refs: readonly string[] }
  /** 0 to 10, and the share of the track below the wiper. `isAssumed`: nobody wrote it. */
  | {
      readonly kind: 'setting';
      readonly ref: string;
      readonly position?: number;
      readonly share: number;
      readonly isAssumed: boolean;
    }
  | { readonly kind: 'switch-closed'; readonly ref: string }
  /** The loop through this part is open: no signal comes back from the loudspeaker. */
  | { readonly kind: 'loop-open'; readonly ref: string }
  /** An output transformer as a resistance. */
  | { readonly kind: 'load'; readonly ref: string; readonly ohms: number }
  /** Nothing is written that a valve works into there, so no level is told. */
  | { readonly kind: 'no-load'; readonly nodes: readonly string[] }
  /** Capacitances of valves and wiring are left out. */
  | { readonly kind: 'no-strays' }
  /** Other sources of the same circuit, silent. */
  | { readonly kind: 'at-rest'; readonly nodes: readonly string[] };

export interface SignalRegion {
  readonly refs: ReadonlySet<string>;
  readonly valves: ReadonlySet<string>;
  /** Where 1 V is put in, and where it is heard. */
  readonly input: string;
  readonly output: string;
  readonly atRest: readonly string[];
}

/** More parts than this around one part are no stage, but a drawing without rails. */
const WIDEST = 80;

/** The node for signals: every supply is ground. */
export function signalNode(bench: PhaseBench, node: string): string {
  const isStill = node === 'gnd' || isRail(node) || isBiasNode(node) || bench.look.rectified.has(node);
  return isStill || isSecondary(node) ? 'gnd' : node;
}

/** A place from which a signal comes that no valve of this circuit makes. */
function isOutsideSource(node: string): boolean {
  return /^(?:J|TK)\d/.test(node);
}

/** Whatever hangs together for signals around the given nodes, from driving grids to hearing ones. */
export function findSignalRegion(bench: PhaseBench, starts: readonly string[]): Result<SignalRegion> {
  const refs = new Set<string>();
  const valves = new Set<string>();
  const reached = new Map<string, number>();
  const open: string[] = [];
  const reach = (node: string | undefined, distance: number): void => {
    if (node === undefined || reached.has(node) || signalNode(bench, node) === 'gnd') return;
    reached.set(node, distance);
    open.push(node);
  };
  for (const node of starts) reach(node, 0);
  for (let i = 0; i < open.length; i++) {
    const node = open[i] ?? '';
    const next = (reached.get(node) ?? 0) + 1;
    for (const valve of valvesAt(bench, node)) {
      if (valve.a !== node && valve.k !== node) continue;
      valves.add(valve.ref);
      reach(valve.a, next);
      reach(valve.k, next);
    }
    for (const part of bench.look.partsAt(node)) {
      if (part.class === 'valve' || refs.has(part.ref)) continue;
      if (isTransformer(part)) {
        if (roleOf(bench, part.ref) !== 'output-transformer')
          return refused(`nothing is known of ${part.ref}`);
        refs.add(part.ref);
        continue;
      }
      if (part.class === 'connector' || part.class === 'test-point' || part.class === 'tank') continue;
      refs.add(part.ref);
      if (refs.size > WIDEST) return refused('too much hangs together');
      for (const end of part.terminals.values()) reach(end, next);
    }
  }
  const near = [...reached.keys()].sort(
    (a, b) => (reached.get(a) ?? 0) - (reached.get(b) ?? 0) || compareNames(a, b),
  );
  const inside = bench.valves.filter(({ ref }) => valves.has(ref));
  const driven = [
    ...new Set(inside.map(({ g }) => g).filter((g) => !reached.has(g) && signalNode(bench, g) !== 'gnd')),
  ];
  // Two valves driven at one cathode go by the phase between them, which is not known here.
  const isPair = inside.some(
    ({ k, g }) =>
      driven.includes(g) && inside.some((each) => each.k === k && each.g !== g && driven.includes(each.g)),
  );
  if (isPair) return refused('two driven valves share a cathode');
  const distanceOf = (grid: string): number =>
    Math.min(
      ...inside
        .filter(({ g }) => g === grid)
        .flatMap(({ a, k }) => [
          reached.get(a) ?? Number.POSITIVE_INFINITY,
          reached.get(k) ?? Number.POSITIVE_INFINITY,
        ]),
    );
  const outside = near.filter(isOutsideSource);
  const inputs = [...driven.sort((a, b) => distanceOf(a) - distanceOf(b) || compareNames(a, b)), ...outside];
  const [input] = inputs;
  if (input === undefined) return refused('nothing drives it that is known');
  const hearing = near.filter((node) =>
    valvesAt(bench, node).some(({ ref, g }) => g === node && !valves.has(ref)),
  );
  const output =
    hearing.find((node) => !inputs.includes(node)) ??
    near.find((node) => inside.some(({ a }) => a === node)) ??
    near.find((node) => inside.some(({ k }) => k === node));
  if (output === undefined || output === input) return refused('nothing hears it that is known');
  return found({ refs, valves, input, output, atRest: inputs.slice(1) });
}

/** Whether a valve may work into a part: a capacitor alone is no load, nor is a transformer of which no impedance is said. */
function isLoad(part: FittedPart): boolean {
  if (isTransformer(part)) return primaryImpedance(part) !== undefined;
  return part.class === 'resistor' || part.class === 'inductor' || part.class === 'potentiometer';
}

function primaryImpedance({ specification }: FittedPart): number | undefined {
  const primary = specification?.windings.find(({ side }) => side === 'primary')?.impedance;
  const impedance = primary?.kind === 'value' ? primary.value.quantity.value : undefined;
  return impedance !== undefined && impedance > 0 ? impedance : undefined;
}

/** Anodes of a region, and cathodes of its followers, at which nothing is written that the valve works into. */
export function findUnloaded(bench: PhaseBench, { valves }: Pick<SignalRegion, 'valves'>): readonly string[] {
  const outputs = bench.valves.flatMap(({ ref, a, k }) => {
    if (!valves.has(ref)) return [];
    const isFollower = signalNode(bench, a) === 'gnd';
    const node = isFollower ? k : a;
    if (signalNode(bench, node) === 'gnd') return [];
    const isLoaded =
      bench.look.partsAt(node).some(isLoad) ||
      valvesAt(bench, node).some((other) => other.ref !== ref && (isFollower ? other.a : other.k) === node);
    return isLoaded ? [] : [node];
  });
  return [...new Set(outputs)].sort(compareNames);
}

/** The elements of a region as its parts are fitted on this bench; parts of it that are not there now are left out. Controls whose setting nobody wrote stand at `unwritten`. */
export function signalElements(
  bench: PhaseBench,
  region: SignalRegion,
  unwritten?: number,
): Result<{ readonly elements: readonly Element[]; readonly held: readonly Held[] }> {
  const elements: Element[] = [];
  const held: Held[] = [];
  const unloaded = findUnloaded(bench, region);
  if (unloaded.length > 0) return refused(`no load is written at ${unloaded.join(', ')}`);
  const at = (node: string | undefined): string => signalNode(bench, node ?? '');
  const resistor = (name: string, from: string, to: string, value: number): void => {
    if (from !== to) elements.push({ kind: 'resistor', name, from, to, resistance: ohms(value) });
  };
  for (const ref of region.refs) {
    const part = bench.view.parts.get(ref);
    if (part === undefined) continue;
    const ends = endsOf(part);
    switch (part.class) {
      case 'resistor': {
        const resistance = resistanceOf(part)?.known.quantity.value;
        if (ends === undefined) break;
        if (resistance === undefined) return refused(`no value for ${ref}`);
        for (const end of ends) if (isSecondary(end)) held.push({ kind: 'loop-open', ref });
        resistor(ref, at(ends[0]), at(ends[1]), resistance);
        break;
      }
      case 'capacitor': {
        const capacitance = capacitanceOf(part)?.known.quantity.value;
        if (ends === undefined) break;
        if (capacitance === undefined) return refused(`no value for ${ref}`);
        const [from, to] = [at(ends[0]), at(ends[1])];
        if (from !== to)
          elements.push({ kind: 'capacitor', name: ref, from, to, capacitance: farads(capacitance) });
        break;
      }
      case 'inductor': {
        const inductance = findValueInUse(part)?.quantity;
        if (ends === undefined) break;
        if (inductance?.unit !== 'H') return refused(`no value for ${ref}`);
        const [from, to] = [at(ends[0]), at(ends[1])];
        const winding = resistanceOf(part)?.known.quantity.value ?? 0;
        if (from !== to)
          elements.push({
            kind: 'inductor',
            name: ref,
            from,
            to,
            inductance: henries(inductance.value),
            resistance: ohms(winding),
          });
        break;
      }
      case 'potentiometer': {
        const arms = armsOf(bench, part, unwritten);
        if (arms === undefined) return refused(`no value for ${ref}`);
        const [top, wiper, bottom] = ['3', '2', '1'].map((terminal) => part.terminals.get(terminal));
        if (wiper === undefined) {
          if (top !== undefined && bottom !== undefined)
            resistor(ref, at(top), at(bottom), arms.upper + arms.lower);
          break;
        }
        held.push(arms.held);
        if (top !== undefined) resistor(`${ref}.upper`, at(top), at(wiper), arms.upper);
        if (bottom !== undefined) resistor(`${ref}.lower`, at(wiper), at(bottom), arms.lower);
        break;
      }
      case 'switch':
        if (ends === undefined) break;
        held.push({ kind: 'switch-closed', ref });
        resistor(ref, at(ends[0]), at(ends[1]), 0);
        break;
      case 'transformer':
      case 'transformer-or-transistor':
        if (!isTransformer(part)) return refused(`nothing is known of ${ref}`);
        if (!addOutputLoad(bench, part, region, at, resistor, held))
          return refused(`no load known at ${ref}`);
        break;
      case 'loudspeaker':
        break;
      default:
        return refused(`${ref} is not counted in signal circuits`);
    }
  }
  const constants: string[] = [];
  for (const valve of bench.valves) {
    if (!region.valves.has(valve.ref)) continue;
    const element = linearValve(valve, at);
    if (element === undefined) return refused(`nothing is known of ${valve.ref}`);
    constants.push(valve.ref);
    if (element.anode !== element.cathode) elements.push(element);
  }
  for (const node of region.atRest)
    elements.push({ kind: 'resistor', name: `rest ${node}`, from: node, to: 'gnd', resistance: ohms(0) });
  if (region.atRest.length > 0) held.push({ kind: 'at-rest', nodes: region.atRest });
  if (constants.length > 0) held.push({ kind: 'valve-constants', refs: constants });
  return found({ elements, held });
}

function linearValve(valve: ValveAt, at: (node: string) => string) {
  const constants = valve.valve && constantsOf(valve.valve);
  const ra = constants?.anodeResistance?.known.quantity.value;
  const mu = constants?.amplification?.known.quantity.value;
  const gm = constants?.transconductance?.known.quantity.value ?? (ra && mu ? mu / ra : undefined);
  if (ra === undefined || gm === undefined) return undefined;
  // Of a triode µ is the surer constant, and the stage figures go by it.
  const slope = valve.kind === 'triode' && mu !== undefined ? mu / ra : gm;
  return {
    kind: 'linear-valve',
    name: `valve ${valve.ref}`,
    anode: at(valve.a),
    grid: at(valve.g),
    cathode: at(valve.k),
    transconductance: siemens(slope),
    anodeResistance: ohms(ra),
  } as const;
}

/** At idle both valves of a push-pull pair conduct: each sees half of the load from anode to anode. */
function addOutputLoad(
  bench: PhaseBench,
  part: FittedPart,
  region: SignalRegion,
  at: (node: string | undefined) => string,
  resistor: (name: string, from: string, to: string, value: number) => void,
  held: Held[],
): boolean {
  const impedance = primaryImpedance(part);
  if (impedance === undefined) return false;
  const isPushPull = part.terminals.get('ct') !== undefined;
  const load = isPushPull ? impedance / 2 : impedance;
  for (const valve of bench.valves) {
    const terminal = [...part.terminals].find(([, node]) => node === valve.a)?.[0];
    if (!region.valves.has(valve.ref) || terminal === undefined) continue;
    resistor(`${part.ref}.${terminal}`, at(valve.a), 'gnd', load);
  }
  held.push({ kind: 'load', ref: part.ref, ohms: load });
  return true;
}

/** The two arms of a control: as read, else its track at the setting that was written, else at half turn (or at `unwritten`). */
export function armsOf(
  bench: PhaseBench,
  part: FittedPart,
  unwritten = 5,
):
  | { readonly upper: number; readonly lower: number; readonly held: Extract<Held, { kind: 'setting' }> }
  | undefined {
  const arms = part.measured.findLast(({ quantity: of }) => of === 'arms');
  const read = arms?.value.quantity.value;
  const second = arms?.second?.quantity.value;
  if (read !== undefined && second !== undefined && read + second > 0) {
    const share = second / (read + second);
    return { upper: read, lower: second, held: { kind: 'setting', ref: part.ref, share, isAssumed: false } };
  }
  const track = findValueInUse(part)?.quantity;
  if (track?.unit !== 'Ohm') return undefined;
  const set = settingOf(bench, part);
  const turn = Math.min(1, Math.max(0, (set ?? unwritten) / 10));
  const share = shareAt(part, turn);
  return {
    upper: track.value * (1 - share),
    lower: track.value * share,
    held: { kind: 'setting', ref: part.ref, position: turn * 10, share, isAssumed: set === undefined },
  };
}

/** `{VR1: at 3}`, else the setting that stands among the conditions of the last readings. */
function settingOf(bench: PhaseBench, part: FittedPart): number | undefined {
  const read = part.measured.findLast(({ quantity: of }) => of === 'setting')?.value.quantity.value;
  if (read !== undefined) return read;
  const condition = bench.view.verdictSet?.conditions.findLast(
    ({ kind, refs, value }) =>
      kind === 'setting' && value !== undefined && refs.some(({ name }) => name === part.ref),
  );
  return condition?.value?.value;
}

/** A logarithmic track has an eighth of its resistance below the wiper at half turn (common practice, no source: 10 to 15 %). */
function shareAt(part: FittedPart, turn: number): number {
  const words = part.kinds.join(' ');
  if (/anti-?log|reverse/.test(words)) return 1 - (1 - turn) ** 3;
  return /log|audio/.test(words) ? turn ** 3 : turn;
}

function isTransformer(part: FittedPart): boolean {
  return (
    part.class === 'transformer' || (part.class === 'transformer-or-transistor' && part.kinds.length > 0)
  );
}

const byNode = new WeakMap<PhaseBench, ReadonlyMap<string, readonly ValveAt[]>>();

/** Valves with an anode, cathode or grid at a node. */
function valvesAt(bench: PhaseBench, node: string): readonly ValveAt[] {
  let map = byNode.get(bench);
  if (map === undefined) {
    const made = new Map<string, ValveAt[]>();
    for (const valve of bench.valves) {
      for (const at of new Set([valve.a, valve.g, valve.k])) {
        const list = made.get(at);
        if (list === undefined) made.set(at, [valve]);
        else list.push(valve);
      }
    }
    map = made;
    byNode.set(bench, map);
  }
  return map.get(node) ?? [];
}
