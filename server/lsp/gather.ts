/** Owns taking a storm of events for one: names are gathered until it is quiet, and then worked off together, one batch after another. */
import { type After, after as byTheClock } from './after.ts';

export interface GatherOptions {
  /** Milliseconds without an event that end the gathering. */
  readonly quiet: number;
  /** Milliseconds after the first event at which it ends though they go on. */
  readonly cap: number;
  readonly after?: After;
}

export interface Gather {
  readonly add: (names: readonly string[]) => void;
  readonly dispose: () => void;
}

export function createGather(
  { quiet, cap, after = byTheClock }: GatherOptions,
  work: (names: readonly string[]) => Promise<void>,
): Gather {
  let names = new Set<string>();
  let began = 0;
  let takeBack: (() => void) | undefined;
  let isWorking = false;
  const workOff = async () => {
    takeBack = undefined;
    // The batch before this one is still being read: its end begins this one.
    if (isWorking || names.size === 0) return;
    const batch = [...names];
    names = new Set();
    isWorking = true;
    try {
      await work(batch);
    } finally {
      isWorking = false;
      if (takeBack === undefined) await workOff();
    }
  };
  return {
    add: (added) => {
      if (added.length === 0) return;
      if (names.size === 0) began = performance.now();
      for (const name of added) names.add(name);
      takeBack?.();
      const left = Math.max(0, began + cap - performance.now());
      takeBack = after(Math.min(quiet, left), () => void workOff());
    },
    dispose: () => takeBack?.(),
  };
}

/** Does `work` on each, at most `most` at once. */
export async function forEachOf<T>(
  items: readonly T[],
  most: number,
  work: (item: T) => Promise<void>,
): Promise<void> {
  const left = items[Symbol.iterator]();
  const run = async () => {
    for (const item of left) await work(item);
  };
  await Promise.all(Array.from({ length: Math.min(most, items.length) }, run));
}
