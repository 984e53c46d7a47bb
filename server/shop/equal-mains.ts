/** Owns what the mains does to readings taken at two moments: which of them go with it, and what one would have been at the other's. */
import type { BenchReading } from '../bench/model.ts';

/** A mains that moved by more than this share is worth reckoning with. */
export const MAINS_MOVED = 0.005;

/** A supply and what hangs on it go with the mains; a signal, a resistance, what leaks to a grid and the mains itself do not. */
export function goesWithMains({ quantity, at }: Pick<BenchReading, 'quantity' | 'at'>): boolean {
  return quantity === 'voltage' && at !== 'mains' && !at.endsWith('.g');
}

/**
 * The factor that brings readings of now to the mains of then: V then = V now · mains then / mains now. Undefined where one of
 * them is not written, or where they are near enough to be one.
 */
export function mainsFactor(then: number | undefined, now: number | undefined): number | undefined {
  if (then === undefined || now === undefined || !(then > 0) || !(now > 0)) return undefined;
  const factor = then / now;
  return Number.isFinite(factor) && Math.abs(now / then - 1) > MAINS_MOVED ? factor : undefined;
}
