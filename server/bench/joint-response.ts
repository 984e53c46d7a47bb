/**
 * Owns the levels of a signal before and after several changes at once: those around one stage are put in together, and stages
 * that drive each other are told as one way.
 */
import type { Hertz } from '../units/si.ts';
import { isSameElectrically, type StateBench } from './change-states.ts';
import type { FittedPart, PartChange } from './model.ts';
import {
  besideEachOther,
  findForwardIn,
  findReturnIn,
  type LevelEffect,
  type ResponseChange,
} from './response.ts';
import { findSignalRegion, type Held, type SignalRegion } from './signal-circuit.ts';

export interface JointLevels extends LevelEffect {
  /** The changes that lie on this way. */
  readonly refs: readonly string[];
  /** Through the stages, or what comes back from the loudspeaker's tap. */
  readonly path: ResponseChange['path'];
  readonly held: readonly Held[];
}

/**
 * The levels along each way on which one of the changes lies, in dB over 1 V where it is driven. Both states have all else alike.
 * A way is a stage from its driving grid to the next one; where one stage ends on the grid that drives another, their decibels
 * add up, for a stage is reckoned with what loads it. A loop of feedback is open in all this; what comes back through it, from the
 * loudspeaker's tap to where it ends, is a way of its own.
 */
export function findJointLevels(
  changes: readonly Pick<PartChange, 'ref' | 'was' | 'is'>[],
  before: StateBench,
  after: StateBench,
  frequencies: readonly Hertz[],
): readonly JointLevels[] {
  const stages = new Map<string, SignalRegion>();
  const changed: string[] = [];
  for (const { ref } of changes) {
    const [was, is] = [before, after].map(({ view }) => view.parts.get(ref));
    if (was !== undefined && is !== undefined && isSameElectrically(was, is)) continue;
    changed.push(ref);
    const region = regionOf(was, is, before, after);
    if (region === undefined) continue;
    const key = `${region.input} ${region.output}`;
    const known = stages.get(key);
    stages.set(key, known === undefined ? region : joined(known, region));
  }
  const all = [...stages.values()];
  const along = (find: typeof findForwardIn, path: JointLevels['path']) =>
    all.flatMap((region): readonly JointLevels[] => {
      const way = find(region, before, after, frequencies);
      // Two that one stage drives load each other: both are in what is heard at either.
      const refs = changed.filter((ref) => region.refs.has(ref) || region.valves.has(ref));
      return way === undefined ? [] : [{ ...way, refs, path }];
    });
  return [...inLine(along(findForwardIn, 'forward'), frequencies), ...along(findReturnIn, 'fed-back')];
}

/** The circuit around a part with all that it meets before and after; undefined where none is known in either state. */
function regionOf(
  was: FittedPart | undefined,
  is: FittedPart | undefined,
  before: StateBench,
  after: StateBench,
): SignalRegion | undefined {
  const starts = [...new Set([...(was?.terminals.values() ?? []), ...(is?.terminals.values() ?? [])])];
  const regions = [before, after].flatMap((bench) => {
    const region = findSignalRegion(bench, starts);
    return region.ok ? [region.value] : [];
  });
  const [one, other] = regions;
  if (one === undefined || other === undefined) return one;
  return one.input === other.input && one.output === other.output ? joined(one, other) : undefined;
}

function joined(one: SignalRegion, other: SignalRegion): SignalRegion {
  return {
    input: one.input,
    output: one.output,
    refs: new Set([...one.refs, ...other.refs]),
    valves: new Set([...one.valves, ...other.valves]),
    atRest: [...new Set([...one.atRest, ...other.atRest])],
  };
}

/** Ways that end where another begins are one. */
function inLine(ways: readonly JointLevels[], frequencies: readonly Hertz[]): readonly JointLevels[] {
  const open = [...ways];
  const lines: JointLevels[] = [];
  for (;;) {
    // A ring has no first stage: it is told from where it was written first.
    const first = open.findIndex(({ from }) => open.every(({ at }) => at !== from));
    let [line] = open.splice(Math.max(0, first), 1);
    if (line === undefined) return lines;
    for (;;) {
      const end = line.at;
      const next = open.findIndex(({ from }) => from === end);
      const [following] = next < 0 ? [] : open.splice(next, 1);
      if (following === undefined) break;
      line = behind(line, following, frequencies);
    }
    lines.push(line);
  }
}

const SURENESS = ['fitted', 'catalogue', 'assumed'] as const;

/** Two ways, one behind the other. */
function behind(one: JointLevels, other: JointLevels, frequencies: readonly Hertz[]): JointLevels {
  const sums = (which: 'before' | 'after') =>
    one.levels.map(({ [which]: first }, i) => {
      const second = other.levels[i]?.[which];
      return first === undefined || second === undefined ? undefined : first.value + second.value;
    });
  return {
    from: one.from,
    at: other.at,
    path: one.path,
    refs: [...new Set([...one.refs, ...other.refs])],
    basis: SURENESS[Math.max(SURENESS.indexOf(one.basis), SURENESS.indexOf(other.basis))] ?? 'assumed',
    held: [...one.held, ...other.held],
    levels: besideEachOther(frequencies, sums('before'), sums('after')),
  };
}
