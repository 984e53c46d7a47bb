/** Owns which nodes are one node, which have a number, and which hang in the air. */
import { found, type Result, refused } from '../result.ts';
import { type Element, GROUND, type Netlist, nodesOf } from './netlist.ts';

/** Number of the ground node; it has no equation. */
export const AT_GROUND = -1;

export interface Nodes {
  /** Every node of the netlist to its number; joined nodes share one. */
  readonly numbers: ReadonlyMap<string, number>;
  /** The name that stands for each number, first met first. */
  readonly names: readonly string[];
}

/** Numbers the nodes; `joins` says which pairs an element makes one. Nodes are numbered by fewest neighbours first. */
export function numberNodes(
  netlist: Netlist,
  joins: (element: Element) => readonly (readonly [string, string])[],
): Result<Nodes> {
  const ground = netlist.ground ?? GROUND;
  const parents = new Map<string, string>();
  const degree = new Map<string, number>();
  for (const element of netlist.elements) {
    for (const node of nodesOf(element)) {
      if (!parents.has(node)) parents.set(node, node);
    }
  }
  if (!parents.has(ground)) return refused(`no part is connected to ${ground}`);
  for (const element of netlist.elements) {
    for (const [a, b] of joins(element)) {
      const [rootA, rootB] = [rootOf(parents, a), rootOf(parents, b)];
      // Ground stays a root, so that it is known by its name.
      if (rootB === ground) parents.set(rootA, rootB);
      else if (rootA !== rootB) parents.set(rootB, rootA);
    }
  }
  for (const element of netlist.elements) {
    for (const node of nodesOf(element)) {
      const root = rootOf(parents, node);
      degree.set(root, (degree.get(root) ?? 0) + 1);
    }
  }
  // Eliminating poorly connected nodes first keeps the matrix sparse while it is solved.
  const names = [...degree.keys()]
    .filter((name) => name !== ground)
    .sort((a, b) => (degree.get(a) ?? 0) - (degree.get(b) ?? 0));
  const byRoot = new Map(names.map((name, number) => [name, number] as const));
  const numbers = new Map<string, number>();
  for (const node of parents.keys()) numbers.set(node, byRoot.get(rootOf(parents, node)) ?? AT_GROUND);
  return found({ numbers, names });
}

/** The numbers of nodes that no chain of `links` ties to ground. */
export function findFloating(nodes: Nodes, links: readonly (readonly [number, number])[]): readonly number[] {
  const neighbours: number[][] = nodes.names.map(() => []);
  const reached = new Set<number>();
  const queue: number[] = [];
  const reach = (node: number): void => {
    if (node === AT_GROUND || reached.has(node)) return;
    reached.add(node);
    queue.push(node);
  };
  for (const [a, b] of links) {
    neighbours[a]?.push(b);
    neighbours[b]?.push(a);
    if (a === AT_GROUND) reach(b);
    if (b === AT_GROUND) reach(a);
  }
  for (let node = queue.pop(); node !== undefined; node = queue.pop()) {
    for (const next of neighbours[node] ?? []) reach(next);
  }
  return nodes.names.map((_, number) => number).filter((number) => !reached.has(number));
}

function rootOf(parents: Map<string, string>, node: string): string {
  let root = node;
  for (let parent = parents.get(root); parent !== undefined && parent !== root; parent = parents.get(root)) {
    root = parent;
  }
  parents.set(node, root);
  return root;
}
