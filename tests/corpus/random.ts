/** Owns chance that repeats: the corpus is the same on every machine and every run. */

export interface Chance {
  /** From 0 up to, not including, 1. */
  readonly next: () => number;
  readonly between: (low: number, high: number) => number;
  /** A value that may be off by this share, at most. */
  readonly near: (value: number, share: number) => number;
  readonly pick: <T>(from: readonly [T, ...T[]]) => T;
}

/** A 32-bit generator of Weyl steps and mixing; good enough to scatter parts, no claim to more. */
export function createChance(seed: number): Chance {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const between = (low: number, high: number): number => low + (high - low) * next();
  return {
    next,
    between,
    near: (value, share) => value * (1 + between(-share, share)),
    pick: (from) => from[Math.floor(next() * from.length)] ?? from[0],
  };
}
