/** Owns a part beside what stands for it in another amplifier, before it is said what the difference does. */
import type { MatchedBy, Matching } from '../bench/matching.ts';
import type { FittedPart, RoleFound, Seen } from '../bench/model.ts';
import type { Stop } from '../bench/walk.ts';
import type { Difference } from './part-differences.ts';

export type Verdict = 'added' | 'removed' | 'changed' | 'moved' | 'same';

/** A part on one side, with what it does there. */
export interface ComparedPart {
  readonly part: FittedPart;
  readonly role?: RoleFound;
  /** Whether anybody looked at it, where that is said. */
  readonly seen?: Seen;
}

/** A part before it is said what its difference does. */
export interface PartBeside {
  readonly verdict: Verdict;
  readonly stop: Stop;
  readonly was?: ComparedPart;
  readonly is?: ComparedPart;
  /** How it was known to be the same part. */
  readonly by?: MatchedBy;
  readonly differences: readonly Difference[];
}

/** The second's part with the first's ref and places; undefined where it hangs at a place that the first does not have. */
export function inPlaceOf(
  was: FittedPart | undefined,
  is: FittedPart,
  { nodeWas }: Matching,
): FittedPart | undefined {
  const terminals = new Map<string, string>();
  for (const [terminal, node] of is.terminals) {
    const place = nodeWas(node);
    if (place !== undefined) terminals.set(terminal, place);
  }
  const isPlaced = terminals.size === is.terminals.size && terminals.size > 0;
  if (was === undefined && !isPlaced) return undefined;
  const where =
    was !== undefined && (!isPlaced || isOneSite(was.terminals, terminals)) ? was.terminals : terminals;
  return {
    ...is,
    ...(was && { ref: was.ref, whole: was.whole }),
    ...(was?.section !== undefined && { section: was.section }),
    terminals: where,
  };
}

/** The same places, whichever end is whose. */
function isOneSite(one: ReadonlyMap<string, string>, other: ReadonlyMap<string, string>): boolean {
  const [a, b] = [one, other].map((terminals) => [...terminals.values()].sort().join(' '));
  return a === b;
}
