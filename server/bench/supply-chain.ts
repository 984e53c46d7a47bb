/**
 * Owns the supply from its rectifier to the last node: every node in order with what was read there in each state and what
 * should be, and what lies between. A node that nobody read is there all the same, without volts.
 */
import { openState } from './change-states.ts';
import { type PhaseBench, roleOf } from './derive/bench.ts';
import { readOf, toldStates } from './load-lines.ts';
import { endsOf } from './look.ts';
import type { Amplifier, BenchReading, Figure, FigureName, FittedPart, Known, PhaseView } from './model.ts';
import { findValueInUse } from './model.ts';
import { compareNames, isBiasNode, isSupplyRail } from './points.ts';

/** A number with what its last written digit counts; absent of what was computed. */
export interface Written {
  readonly value: number;
  readonly digit?: number;
}

/** Direct volts and ripple of one node in one state. */
export interface NodeState {
  readonly phase: PhaseView['phase'];
  readonly volts?: Written;
  /** Peak to peak [V]. */
  readonly ripple?: Written;
}

/** What lies between a node and the one before it: one part, or several of them side by side. */
export interface SupplyLink {
  readonly refs: readonly string[];
  readonly kind: 'resistor' | 'choke' | 'contact';
  /** Resistance, or a choke's of its winding [Ω]. */
  readonly resistance?: number;
  /** Of a choke [H]. */
  readonly inductance?: number;
  readonly currents: readonly { readonly phase: PhaseView['phase']; readonly current: number }[];
}

export interface SupplyNode {
  readonly name: string;
  /** The node that feeds it; absent of the first. */
  readonly from?: string;
  readonly link?: SupplyLink;
  /** One for each state that is told. */
  readonly states: readonly NodeState[];
  /** What should stand there by the chassis sheet or the chart. */
  readonly nominal?: Written;
}

export interface SupplyChain {
  /** What feeds it: refs of the rectifiers; none known of where the chain begins at a rail. */
  readonly rectifiers: readonly string[];
  readonly phases: readonly PhaseView['phase'][];
  /** From the rectifier outwards, each branch to its end before the next. */
  readonly nodes: readonly SupplyNode[];
}

/** Chains of which two nodes or more were read in one state, each from its rectifier, else from the first rail. */
export function findSupplyChains(amplifier: Amplifier): readonly SupplyChain[] {
  const views = toldStates(amplifier.phases);
  const last = views.at(-1);
  if (last === undefined) return [];
  const bench = openState(last, amplifier);
  const { look } = bench;
  const rectified = [...look.rectified].filter((node) => !isBiasNode(node)).sort(compareNames);
  const roots = rectified.length > 0 ? rectified : look.firstRail === undefined ? [] : [look.firstRail];
  const reads = views.map((view) => ({ view, read: readOf(view) }));
  const seen = new Set<string>();
  return roots.flatMap((root): SupplyChain[] => {
    if (seen.has(root)) return [];
    const nodes = walk(root, bench, seen).map(({ name, from, parts }): SupplyNode => {
      const nominal = nominalAt(last, name);
      return {
        name,
        ...(from !== undefined && { from, link: linkOf(parts, views) }),
        states: reads.map(({ view, read }) => {
          const volts = writtenOf(read?.voltsAt(name)?.known);
          const ripple = rippleAt(view, name);
          return {
            phase: view.phase,
            ...(volts !== undefined && { volts }),
            ...(ripple !== undefined && { ripple }),
          };
        }),
        ...(nominal !== undefined && { nominal }),
      };
    });
    const isChain = views.some(
      (_, i) => nodes.filter(({ states }) => states[i]?.volts !== undefined).length > 1,
    );
    if (!isChain) return [];
    const rectifiers = look
      .partsAt(root)
      .filter(({ ref }) => roleOf(bench, ref) === 'rectifier')
      .map(({ ref }) => ref)
      .sort(compareNames);
    return [{ rectifiers, phases: views.map(({ phase }) => phase), nodes }];
  });
}

interface Step {
  readonly name: string;
  readonly from?: string;
  readonly parts: readonly FittedPart[];
}

/** Every node behind droppers, chokes, fuses and switches; a branch is followed to its end. */
function walk(root: string, bench: PhaseBench, seen: Set<string>): readonly Step[] {
  const steps: Step[] = [];
  const open: Step[] = [{ name: root, parts: [] }];
  for (let step = open.pop(); step !== undefined; step = open.pop()) {
    if (seen.has(step.name)) continue;
    seen.add(step.name);
    steps.push(step);
    const next = new Map<string, FittedPart[]>();
    for (const part of bench.look.partsAt(step.name)) {
      const ends = passes(part, bench) ? endsOf(part) : undefined;
      const far = ends?.[0] === step.name ? ends[1] : ends?.[0];
      if (far === undefined || far === 'gnd' || seen.has(far)) continue;
      const beside = next.get(far);
      if (beside === undefined) next.set(far, [part]);
      else beside.push(part);
    }
    // The last pushed is the first followed.
    for (const [name, parts] of [...next].sort(([a], [b]) => compareNames(b, a)))
      open.push({ name, from: step.name, parts });
  }
  return steps;
}

/** What a supply flows through on its way from node to node, never to an electrode. */
function passes(part: FittedPart, bench: PhaseBench): boolean {
  const { look } = bench;
  if (part.class === 'fuse' || part.class === 'switch') return true;
  const role = roleOf(bench, part.ref);
  if (role === 'dropper' || role === 'choke' || role === 'standby') return true;
  if (part.class !== 'resistor' && part.class !== 'inductor') return false;
  return endsOf(part)?.every((node) => isSupplyRail(node) || look.rectified.has(node)) ?? false;
}

function linkOf(parts: readonly FittedPart[], views: readonly PhaseView[]): SupplyLink {
  const refs = parts.map(({ ref }) => ref).sort(compareNames);
  const [first] = parts;
  const value = first && findValueInUse(first)?.quantity;
  const kind = first?.class === 'inductor' ? 'choke' : first?.class === 'resistor' ? 'resistor' : 'contact';
  const resistances = parts.map((part) =>
    kind === 'resistor' ? findValueInUse(part)?.quantity.value : windingOf(part),
  );
  const resistance = sideBySide(resistances);
  const currents = views.flatMap((view) => {
    const each = refs.map((ref) => figureAt(view, ref, 'current')?.quantity.value);
    const sum = each.reduce<number | undefined>(
      (total, one) => (total === undefined || one === undefined ? undefined : total + one),
      0,
    );
    return sum === undefined ? [] : [{ phase: view.phase, current: sum }];
  });
  return {
    refs,
    kind,
    ...(resistance !== undefined && { resistance }),
    ...(kind === 'choke' && parts.length === 1 && value?.unit === 'H' && { inductance: value.value }),
    currents,
  };
}

function windingOf(part: FittedPart): number | undefined {
  const read = part.measured.findLast(
    ({ quantity: of, special }: BenchReading) => of === 'resistance' && special === undefined,
  );
  return (read?.value ?? part.resistance)?.quantity.value;
}

function sideBySide(resistances: readonly (number | undefined)[]): number | undefined {
  let conductance = 0;
  for (const resistance of resistances) {
    if (resistance === undefined || !(resistance > 0)) return undefined;
    conductance += 1 / resistance;
  }
  return conductance > 0 ? 1 / conductance : undefined;
}

function figureAt(view: PhaseView, subject: string, name: FigureName): Figure | undefined {
  return view.figures.find(
    ({ figure, subject: of, set }) => figure === name && of === subject && set === view.verdictSet?.id,
  );
}

function writtenOf(known: Known | undefined): Written | undefined {
  if (known === undefined) return undefined;
  const { quantity, digit } = known;
  return { value: quantity.value, ...(digit !== undefined && { digit }) };
}

/** As it was read, where the figure is the reading itself. */
function rippleAt(view: PhaseView, name: string): Written | undefined {
  const figure = figureAt(view, name, 'ripple');
  if (figure === undefined) return undefined;
  const { value } = figure.quantity;
  return writtenOf(figure.inputs.find(({ known }) => known.quantity.value === value)?.known) ?? { value };
}

/** The last of what the chassis sheet or a chart's own column says; the chart of a chassis sheet alone is its state. */
function nominalAt({ nominals, phase }: PhaseView, name: string): Written | undefined {
  if (phase === 'factory') return undefined;
  const nominal = nominals.findLast(
    ({ node, toNode, quantity: of, wave, set, special }) =>
      node === name &&
      toNode === undefined &&
      of === 'voltage' &&
      wave === undefined &&
      special === undefined &&
      (set.normal || set.id === 0),
  );
  return writtenOf(nominal?.value);
}
