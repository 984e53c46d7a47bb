/** Owns what belongs to the mains side of an amplifier. */
import type { FittedPart } from '../bench/model.ts';

const MAINS_NODES: ReadonlySet<string> = new Set(['line', 'neutral', 'mains', 'earth']);

/** Fuse, switch, mains transformer, and whatever is tied to line, neutral or earth. */
export function isMainsSide(part: FittedPart, role: string): boolean {
  if (part.class === 'fuse' || part.class === 'switch' || role === 'mains-transformer') return true;
  return [...part.terminals.values()].some((node) => MAINS_NODES.has(node));
}
