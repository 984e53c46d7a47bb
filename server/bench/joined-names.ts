/** Owns which names mean one node, and by which of them it is called. It knows no parts and no connections. */
import { compareNames, NAME_RANKS } from './points.ts';

/** Names joined into nodes, each node called by its best-ranked name. */
export interface Names {
  readonly add: (name: string, rank: number) => number;
  readonly rankOf: (name: string) => number | undefined;
  readonly join: (a: string, b: string) => void;
  readonly isJoined: (a: string, b: string) => boolean;
  /** Every name, and its node's name; nothing is joined any more. */
  readonly settled: () => Nodes;
}

export interface Nodes {
  readonly names: Iterable<string>;
  readonly nodeOf: (name: string) => string | undefined;
}

/** A union-find over names. */
export function createNames(): Names {
  const ids = new Map<string, number>();
  const parent: number[] = [];
  const ranks: number[] = [];

  const root = (id: number): number => {
    let at = id;
    for (let up = parent[at]; up !== undefined && up !== at; up = parent[at]) {
      parent[at] = parent[up] ?? up;
      at = up;
    }
    return at;
  };

  const add = (name: string, rank: number): number => {
    const known = ids.get(name);
    if (known !== undefined) {
      ranks[known] = Math.min(ranks[known] ?? rank, rank);
      return known;
    }
    const id = parent.length;
    ids.set(name, id);
    parent.push(id);
    ranks.push(rank);
    return id;
  };

  return {
    add,
    rankOf: (name) => {
      const id = ids.get(name);
      return id === undefined ? undefined : ranks[id];
    },
    join: (a, b) => {
      const one = root(add(a, NAME_RANKS.own));
      const two = root(add(b, NAME_RANKS.own));
      if (one !== two) parent[Math.max(one, two)] = Math.min(one, two);
    },
    isJoined: (a, b) => {
      const one = ids.get(a);
      const two = ids.get(b);
      return one !== undefined && two !== undefined && root(one) === root(two);
    },
    settled: () => {
      /** By the root of each node. */
      const best: string[] = [];
      const bestRank: number[] = [];
      for (const [name, id] of ids) {
        const at = root(id);
        const rank = ranks[id] ?? NAME_RANKS.own;
        const known = best[at];
        const knownRank = bestRank[at] ?? rank;
        if (
          known === undefined ||
          rank < knownRank ||
          (rank === knownRank && compareNames(name, known) < 0)
        ) {
          best[at] = name;
          bestRank[at] = rank;
        }
      }
      const nodes = parent.map((_, id) => best[root(id)]);
      return {
        names: ids.keys(),
        nodeOf: (name) => {
          const id = ids.get(name);
          return id === undefined ? undefined : nodes[id];
        },
      };
    },
  };
}
