/**
 * Owns what is kept of an amplifier from one time to the next: all of it where nothing that counts has changed, else the steps
 * of its making that are the same; and for sheets that are read once what all jobs on one chassis sheet share.
 */
import { isSameList } from '../sheet/keeping.ts';
import type { Sheet } from '../sheet/model.ts';
import { createWatch, type Watch, watchSheet } from '../sheet/watching.ts';
import type { Amplifier } from './model.ts';
import { createSteps, everyStep, type Steps } from './steps.ts';

/** The sheets that an amplifier is made of. */
export interface Sources {
  readonly job: Sheet;
  readonly chassis?: Sheet;
  readonly follows: readonly Sheet[];
  readonly shopSheet?: Sheet;
}

/** What is made of them. */
export type Resolved = Pick<Amplifier, 'phases' | 'changes' | 'states' | 'seen' | 'repeats'>;

/** `steps` are those that go from one time to the next, `shared` those that all jobs on one chassis sheet have in common. */
export type Resolve = (from: Sources, steps: Steps, shared: Steps) => Resolved;

interface Kept {
  readonly by: readonly unknown[];
  readonly watch: Watch<Sources>;
  readonly resolved: Resolved;
}

/** By the thread of the job's notes, the latest first. One sheet may lie in several amplifiers: a chassis alone and as a target. */
const keptOf = new WeakMap<object, readonly Kept[]>();
const KEPT = 3;

/** Where not all is the same, the steps that are the same, by the same thread. */
const stepsOf = new WeakMap<object, Steps>();

/** What followed from the sheets before, where all of them that counts is the same and so is all that it went `by` beside them. */
export function takeOver(from: Sources, by: readonly unknown[], resolve: Resolve): Resolved {
  const { thread } = from.job.note;
  if (thread === undefined) return resolve(from, everyStep, stepsUnder(from));
  const kept = keptOf.get(thread) ?? [];
  const known = kept.find((each) => isSameList(each.by, by) && each.watch.isSameIn(from));
  if (known !== undefined) return known.resolved;
  const watch = createWatch<Sources>();
  const steps = stepsOf.get(thread) ?? createSteps();
  stepsOf.set(thread, steps);
  const resolved = resolve(watchSources(from, watch), steps, everyStep);
  keptOf.set(thread, [{ by, watch, resolved }, ...kept].slice(0, KEPT));
  return resolved;
}

function watchSources(from: Sources, watch: Watch<Sources>): Sources {
  const { job, chassis, follows, shopSheet } = from;
  watch.note('chassis', chassis !== undefined, (next) => next.chassis !== undefined);
  watch.note('follows', follows.length, (next) => next.follows.length);
  watch.note('shop sheet', shopSheet !== undefined, (next) => next.shopSheet !== undefined);
  const watched: Sources = {
    job: watchSheet(job, 'job', watch, (next) => next.job),
    ...(chassis && { chassis: watchSheet(chassis, 'chassis', watch, (next) => next.chassis) }),
    follows: follows.map((each, i) => watchSheet(each, `follows ${i}`, watch, (next) => next.follows[i])),
    ...(shopSheet && { shopSheet: watchSheet(shopSheet, 'shop', watch, (next) => next.shopSheet) }),
  };
  // What is worked out of a view later, and kept with it, goes by the mains.
  for (const sheet of [watched.job, watched.chassis, ...watched.follows, watched.shopSheet])
    sheet?.field('mains');
  return watched;
}

/** What was made of chassis sheets for those that are read once, by the last of them: all jobs on it go on from there. */
const sharedBy = new WeakMap<Sheet, Steps>();
/** A job may speak of a valve that its chassis sheet does not name, so that there is more than one answer. */
const SHARED = 4;

function stepsUnder({ job, chassis, follows }: Sources): Steps {
  const lowest = job.kind === 'chassis' ? job : (chassis ?? follows.at(-1));
  if (lowest === undefined) return everyStep;
  const known = sharedBy.get(lowest) ?? createSteps(SHARED);
  sharedBy.set(lowest, known);
  return known;
}
