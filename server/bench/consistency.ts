/**
 * Owns the test of Kirchhoff's current law at every node whose currents are known: what flows in must flow out, within the
 * tolerances of the parts, the meter's error and its last digit. It says who takes part and by how much they disagree.
 */
import { createLoop, type Loop } from '../sheet/asking.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { Phase } from '../sheet/model.ts';
import { wholeOf } from '../sheet/watching.ts';
import { type Interval, intersection, negate } from '../units/interval.ts';
import { screensRead } from './derive/derive.ts';
import { endsOf } from './look.ts';
import type { Circuit, PhaseView } from './model.ts';
import {
  type CurrentTerm,
  isNeverWhole,
  knownTermsAt,
  NOTHING,
  type NodeBench,
  openNodes,
  sumOf,
  type Term,
  takeTerms,
} from './node-currents.ts';
import { isSupplyRail } from './points.ts';
import { namesBetween } from './readings.ts';

/** What could be the matter with one resistor alone, so that all readings would be true. */
export interface Suspicion {
  readonly ref: string;
  /** What it would have to be [Ω]. */
  readonly implied: number;
  readonly marked: number;
  readonly isMeasured: boolean;
  /** At its other end its current agrees with the others there. */
  readonly isConfirmedElsewhere: boolean;
}

export interface CurrentConflict {
  /** `shared-cathode`: valves' anode (and screen) currents against what their cathodes pass; `node`: any other sum. */
  readonly kind: 'node' | 'shared-cathode';
  readonly node: string;
  readonly into: { readonly middle: number; readonly band: Interval };
  readonly outOf: { readonly middle: number; readonly band: Interval };
  readonly terms: readonly CurrentTerm[];
  /** How far the two stand apart beyond their bands [A], and as a share of their mean. */
  readonly apart: number;
  readonly gap: number;
  /** More flows in than is said to flow out: a load that nobody wrote down would explain it as well. */
  readonly mayBeUnwritten: boolean;
  /** The likeliest first: not measured, not confirmed elsewhere, least far from its marking. */
  readonly suspicions: readonly Suspicion[];
}

export interface Consistency {
  readonly conflicts: readonly CurrentConflict[];
  /** Nodes where all is known and agrees. */
  readonly agreeing: readonly string[];
}

/** More parts than this at the far end of one are a rail by another name, where little is ever surer. */
const MOST_AT_A_NODE = 20;

const cache = new WeakMap<PhaseView, Consistency>();

/** Every node of a phase, by the readings of its verdict set. */
export function findConsistency(view: PhaseView): Consistency {
  const whole = wholeOf(view);
  const known = cache.get(whole);
  if (known !== undefined) return known;
  const made = examine(whole);
  cache.set(whole, made);
  return made;
}

/** What there is to be said of one node. */
interface NodeState {
  readonly node: string;
  readonly conflict?: CurrentConflict;
  readonly agrees?: true;
}

/** The last that was made of one phase in one circuit, and what can be taken over of it. */
interface Examined {
  readonly bench: NodeBench;
  readonly screens: readonly string[];
  readonly loop: Loop<string, NodeState>;
  readonly states: readonly NodeState[];
  readonly consistency: Consistency;
}

const examinedIn = new WeakMap<Circuit, Map<Phase, Examined>>();

/** Nodes at which nothing was read otherwise, and that hang on none such, are not examined again. */
function examine(view: PhaseView): Consistency {
  const set = view.verdictSet;
  if (set === undefined) return { conflicts: [], agreeing: [] };
  const { thread } = view;
  if (thread === undefined) {
    const bench = openNodes(view, set.id, undefined);
    return consistencyOf(
      bench,
      view.circuit.nodes.flatMap((node) => examineNode(bench, node)),
    );
  }
  const byPhase = examinedIn.get(view.circuit) ?? new Map<Phase, Examined>();
  examinedIn.set(view.circuit, byPhase);
  const last = byPhase.get(view.phase);
  const screens = screensRead(view.readings, thread);
  const known = last !== undefined && isSameBeside(last, view, screens) ? last : undefined;
  const bench = openNodes(view, set.id, known?.bench);
  const loop = known?.loop ?? createLoop<string, NodeState>();
  const touched = known === undefined ? 'all' : namesBetween(known.bench.view.readings, view.readings);
  const states = loop.run(view.circuit.nodes, touched, (node) => examineNode(bench, node));
  const consistency =
    known !== undefined && states === known.states ? known.consistency : consistencyOf(bench, states);
  byPhase.set(view.phase, { bench, screens, loop, states, consistency });
  return consistency;
}

/** Whether all that a node's state goes by beside readings is the same. */
function isSameBeside({ bench: { view: old }, screens }: Examined, view: PhaseView, now: readonly string[]) {
  return (
    old.parts === view.parts &&
    old.roles === view.roles &&
    old.verdictSet?.id === view.verdictSet?.id &&
    isSameList(old.nominals, view.nominals) &&
    isSameList(screens, now)
  );
}

function examineNode(bench: NodeBench, node: string): readonly NodeState[] {
  if (!isMeeting(bench, node) || isNeverWhole(bench, node)) return NONE;
  const sure = sharpTermsAt(bench, node);
  if (sure === undefined) return NONE;
  const moving = sure.filter(({ middle }) => Math.abs(middle) > NOTHING);
  // Where nothing is said to feed a node, or to load it, the drawing stops there.
  const isThrough = moving.some(({ middle }) => middle > 0) && moving.some(({ middle }) => middle < 0);
  if (!isThrough) return NONE;
  const conflict = conflictOf(bench, node, moving);
  return [conflict === undefined ? { node, agrees: true } : { node, conflict }];
}

function isMeeting(bench: NodeBench, node: string): boolean {
  return node !== 'gnd' && bench.view.circuit.attached(node).length > 1;
}

/** The currents at a node, each as sure as it is known; undefined where one of them is not. */
function sharpTermsAt(bench: NodeBench, node: string): readonly CurrentTerm[] | undefined {
  const sure: CurrentTerm[] = [];
  let isWhole = true;
  takeTerms(bench, node, undefined, 0, (term) => {
    const sharp = sharpened(bench, node, term);
    if ('unknown' in sharp) isWhole = false;
    else sure.push(sharp);
    return isWhole;
  });
  return isWhole ? sure : undefined;
}

const NONE: readonly never[] = [];

function consistencyOf(bench: NodeBench, states: readonly NodeState[]): Consistency {
  const agreeing = new Set(states.flatMap(({ node, agrees }) => (agrees === true ? [node] : [])));
  const conflicts = states.flatMap(({ conflict }) => (conflict === undefined ? [] : [conflict]));
  return {
    conflicts: eachOnce(
      bench,
      conflicts.map((conflict) => ranked(bench, conflict, agreeing)),
    ),
    agreeing: [...agreeing],
  };
}

function conflictOf(
  bench: NodeBench,
  node: string,
  terms: readonly CurrentTerm[],
): CurrentConflict | undefined {
  const into = sumOf(terms.filter(({ middle }) => middle > 0));
  const away = sumOf(terms.filter(({ middle }) => middle <= 0));
  const outOf = { middle: -away.middle, band: negate(away.band) };
  const apart = Math.max(into.band.low - outOf.band.high, outOf.band.low - into.band.high);
  const mean = (into.middle + outOf.middle) / 2;
  if (!(apart > NOTHING)) return undefined;
  const valves = terms.filter(({ subject }) => bench.valves.has(subject));
  const cathodes = valves.filter(({ subject }) => bench.valves.get(subject)?.k === node);
  // The two ends of one valve are told at its cathode, and not here where its anode load is a resistor.
  const isAtAnode = valves.length > cathodes.length && terms.length === 2;
  const [lone] = cathodes;
  const hasLoad = [...bench.view.roles.values()].some(
    ({ role, serves }) => role === 'anode-load' && lone !== undefined && serves.includes(lone.subject),
  );
  if (isAtAnode || (cathodes.length === 1 && terms.length === 2 && hasLoad)) return undefined;
  return {
    kind: cathodes.length > 1 ? 'shared-cathode' : 'node',
    node,
    into,
    outOf,
    terms,
    apart,
    gap: apart / mean,
    mayBeUnwritten: cathodes.length === 0 && into.middle > outOf.middle,
    suspicions: [],
  };
}

/** Each resistor of the conflict alone: what it would have to be. */
function ranked(bench: NodeBench, conflict: CurrentConflict, agreeing: ReadonlySet<string>): CurrentConflict {
  const total = conflict.into.middle - conflict.outOf.middle;
  const suspicions = conflict.terms.flatMap((term): Suspicion[] => {
    const { subject: ref, ohms, middle } = term;
    const part = bench.view.parts.get(ref);
    const needed = middle - total;
    // A resistor cannot turn its current round.
    if (ohms === undefined || part === undefined || !(needed * middle > 0)) return [];
    const far = endsOf(part)?.find((end) => end !== conflict.node);
    return [
      {
        ref,
        implied: (ohms.value * middle) / needed,
        marked: ohms.value,
        isMeasured: ohms.isMeasured,
        isConfirmedElsewhere: far !== undefined && agreeing.has(far),
      },
    ];
  });
  const doubt = ({ isMeasured, isConfirmedElsewhere }: Suspicion): number =>
    (isMeasured ? 2 : 0) + (isConfirmedElsewhere ? 1 : 0);
  const reach = ({ implied, marked }: Suspicion): number => Math.abs(Math.log(implied / marked));
  return {
    ...conflict,
    suspicions: suspicions.sort((a, b) => doubt(a) - doubt(b) || reach(a) - reach(b)),
  };
}

/** One contradiction shows at both ends of a resistor that carries it on: the end that knows whom to suspect tells it. */
function eachOnce(bench: NodeBench, conflicts: readonly CurrentConflict[]): readonly CurrentConflict[] {
  const at = new Map(conflicts.map((conflict) => [conflict.node, conflict]));
  const told = new Set<CurrentConflict>();
  return conflicts.filter((conflict) => {
    const isCarried = conflict.terms.some(({ subject, ohms }) => {
      const part = bench.view.parts.get(subject);
      const far = part && endsOf(part)?.find((end) => end !== conflict.node);
      const other = far === undefined ? undefined : at.get(far);
      if (other === undefined) return false;
      const theirs = other.terms.find((term) => term.subject === subject);
      if (ohms !== undefined && theirs?.ohms !== undefined) return false;
      const [mine, its] = [conflict.suspicions.length, other.suspicions.length];
      return its > mine || (its === mine && told.has(other));
    });
    if (!isCarried) told.add(conflict);
    return !isCarried;
  });
}

/** A resistor's current as the other end has it, where that is surer than the drop over it. */
function sharpened(bench: NodeBench, node: string, term: Term): Term {
  const part = bench.view.parts.get(term.subject);
  if (part?.class !== 'resistor' && part?.class !== 'inductor') return term;
  const far = endsOf(part)?.find((end) => end !== node);
  if (far === undefined || far === 'gnd' || isSupplyRail(far)) return term;
  if (bench.view.circuit.attached(far).length > MOST_AT_A_NODE) return term;
  const sure = knownTermsAt(bench, far, part.ref, 0);
  if (sure === undefined || !sure.some(({ middle }) => Math.abs(middle) > NOTHING)) return term;
  const { middle, band } = sumOf(sure);
  const readings = sure.flatMap((each) => each.readings);
  if ('unknown' in term) return { subject: part.ref, middle, band, readings };
  // Where the two exclude each other, that is the other node's conflict.
  const both = intersection(term.band, band);
  if (both === undefined) return term;
  const isSurer = band.high - band.low < term.band.high - term.band.low;
  if (!isSurer) return { ...term, band: both };
  return { subject: part.ref, middle, band: both, readings };
}
