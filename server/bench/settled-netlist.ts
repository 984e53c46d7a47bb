/** Owns what hangs where once every joined name has its node: the circuit for all, and each part's terminals. */
import type { Nodes } from './joined-names.ts';
import type { Attachment, Circuit } from './model.ts';
import { compareNames } from './points.ts';

/** The netlist of one phase: the circuit for all, and each part's terminals. */
export interface Netlist {
  readonly circuit: Circuit;
  readonly terminalsOf: (ref: string) => ReadonlyMap<string, string>;
}

const NO_TERMINALS: ReadonlyMap<string, string> = new Map();

/** What hangs on each node, and each part's terminals, by the node that every name belongs to. */
export function netlistOf({ names, nodeOf }: Nodes, isTerminal: (name: string) => boolean): Netlist {
  const nodes = new Set<string>();
  const attached = new Map<string, Attachment[]>();
  const terminals = new Map<string, Map<string, string>>();
  for (const name of names) {
    const node = nodeOf(name) ?? name;
    nodes.add(node);
    if (!isTerminal(name)) continue;
    const ref = refOf(name);
    const terminal = name.slice(ref.length + 1);
    const list = attached.get(node);
    if (list === undefined) attached.set(node, [{ ref, terminal }]);
    else list.push({ ref, terminal });
    const own = terminals.get(ref);
    if (own === undefined) terminals.set(ref, new Map<string, string>().set(terminal, node));
    else own.set(terminal, node);
  }
  for (const list of attached.values()) if (list.length > 1) list.sort(byEnds);
  const inOrder = [...nodes].sort(compareNames);
  for (const [ref, own] of terminals) if (!isInOrder(own)) terminals.set(ref, inOrderOfNames(own));
  return {
    circuit: {
      nodes: inOrder,
      nodeOf,
      attached: (node) => attached.get(node) ?? NOTHING_THERE,
    },
    terminalsOf: (ref) => terminals.get(ref) ?? NO_TERMINALS,
  };
}

const NOTHING_THERE: readonly Attachment[] = [];

function byEnds(a: Attachment, b: Attachment): number {
  return compareNames(a.ref, b.ref) || compareNames(a.terminal, b.terminal);
}

function isInOrder(terminals: ReadonlyMap<string, string>): boolean {
  let last: string | undefined;
  for (const terminal of terminals.keys()) {
    if (last !== undefined && compareNames(last, terminal) > 0) return false;
    last = terminal;
  }
  return true;
}

function inOrderOfNames(terminals: ReadonlyMap<string, string>): Map<string, string> {
  return new Map([...terminals].sort(([a], [b]) => compareNames(a, b)));
}

/** The part that a name is a terminal of: `R1` of `R1.2`. */
export function refOf(name: string): string {
  const dot = name.indexOf('.');
  return dot < 0 ? name : name.slice(0, dot);
}
