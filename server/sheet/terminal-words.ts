/**
 * Owns what a pot's word for one of its ends means where the sheet has a node of that name (`VR1 = 1M log, top to gnd` beside
 * `C3 = 22n, V1A.a to top`): the reader sees one tag and takes it for the end; the sheet knows better, or asks.
 */
import type { Connection, Node, NotePiece, Tag, WritingProblem } from '../dialect/tree.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { tagsOf } from './phases.ts';

type ConnectedTag = Extract<Tag, { kind: 'fitted' | 'change' }>;
type NamedEnd = Extract<Connection, { kind: 'terminal' }>;

const asking = new WeakMap<NotePiece, boolean>();

/** Whether the author's own nodes decide what a connection of the piece says. */
export function hasNamedEnds(piece: NotePiece): boolean {
  const known = asking.get(piece);
  if (known !== undefined) return known;
  const has = piece.blocks.some((block) =>
    tagsOf(block).some((tag) => isOfPots(tag) && tag.connections.some(isNamedEnd)),
  );
  asking.set(piece, has);
  return has;
}

export interface Settled {
  readonly tag: ConnectedTag;
  readonly problems: readonly WritingProblem[];
}

const settledBefore = new WeakMap<
  ConnectedTag,
  { readonly names: ReadonlySet<string>; readonly settled: Settled }
>();

/** The tag with ends that are `names` of nodes taken for these; where both may be meant it stays as it was read, and is asked. */
export function settleEnds(tag: ConnectedTag, names: ReadonlySet<string>, { text }: Snapshot): Settled {
  if (!isOfPots(tag) || !tag.connections.some(isNamedEnd)) return { tag, problems: [] };
  const before = settledBefore.get(tag);
  if (before?.names === names) return before.settled;
  const problems: WritingProblem[] = [];
  const connections = tag.connections.map((connection): Connection => {
    const written = isNamedEnd(connection) ? wordOf(connection, text) : undefined;
    if (written === undefined || !isNamedEnd(connection) || !names.has(written.toLowerCase()))
      return connection;
    const { terminal, to, span } = connection;
    if (tag.connections.some((other) => other !== connection && saysAnEnd(other))) {
      const pot = tag.refs.map(({ name }) => name).join(', ');
      problems.push({
        kind: 'value-ambiguous',
        span: terminal.span,
        message: `“${written}” is an end of ${pot} and the name of a node of this sheet; it is read as the end. Write which is meant`,
        offers: [
          { saying: `the end of ${pot}`, edit: { span: terminal.span, text: terminal.text } },
          { saying: 'the node', edit: { span: terminal.span, text: `from ${written}` } },
        ],
      });
      return connection;
    }
    const node: Node = { kind: 'node', name: written.toLowerCase(), nature: 'free', span: terminal.span };
    return { kind: 'ends', from: [node], to: [to], toWritten: true, span };
  });
  const isChanged = connections.some((each, i) => each !== tag.connections[i]);
  const settled: Settled = { tag: isChanged ? { ...tag, connections } : tag, problems };
  // A problem has a place in words, which moves: only what has none is kept.
  if (problems.length === 0) settledBefore.set(tag, { names, settled });
  return settled;
}

function isOfPots(tag: Tag): tag is ConnectedTag {
  return (
    (tag.kind === 'fitted' || tag.kind === 'change') &&
    tag.refs.some((ref) => ref.class === 'potentiometer') &&
    tag.connections.length > 0
  );
}

function isNamedEnd(connection: Connection): connection is NamedEnd {
  return (
    connection.kind === 'terminal' &&
    (connection.terminal.text === 'cw' || connection.terminal.text === 'ccw')
  );
}

/** Both of its ends are said without this one, or the other one is by its name. */
function saysAnEnd(connection: Connection): boolean {
  return (
    connection.kind === 'ends' ||
    connection.kind === 'across' ||
    (connection.kind === 'terminal' && /^(?:c?cw|[13])$/.test(connection.terminal.text))
  );
}

function wordOf({ terminal: { span } }: NamedEnd, text: string): string | undefined {
  const written = text.slice(span.start, span.end);
  return /^[A-Za-z]{2,}$/.test(written) ? written : undefined;
}
