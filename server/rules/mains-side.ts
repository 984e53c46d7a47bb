/** Owns what belongs to the mains side of an amplifier, and which readings say how its chassis is earthed. */
import type { BenchReading, FittedPart } from '../bench/model.ts';

const MAINS_NODES: ReadonlySet<string> = new Set(['line', 'neutral', 'mains', 'earth']);

/** Fuse, switch, mains transformer, and whatever is tied to line, neutral or earth. */
export function isMainsSide(part: FittedPart, role: string): boolean {
  if (part.class === 'fuse' || part.class === 'switch' || role === 'mains-transformer') return true;
  return [...part.terminals.values()].some((node) => MAINS_NODES.has(node));
}

/** Earth pin to chassis, or chassis to earth, as a resistance. */
export function isEarthReading({ at, to, quantity }: BenchReading): boolean {
  return quantity === 'resistance' && [at, to].includes('earth');
}
