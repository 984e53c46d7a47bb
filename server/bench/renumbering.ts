/**
 * Owns what sheets that lie under each other say in the names of the last one: a later sheet's `R17: was R44` gives the part
 * of the earlier ones its new name, wherever it stands there, and what bore the new name before is gone.
 */
import type { Connection, Point, Ref } from '../dialect/tree.ts';
import type { Sheet, Statement } from '../sheet/model.ts';
import { unwatched } from '../sheet/watching.ts';
import { createPicker } from '../text/picking.ts';

/** A sheet's statements that hold for it, by the names of the last sheet. */
export interface InForce {
  readonly uri: string;
  readonly sheet: Sheet;
  readonly statements: readonly Statement[];
}

/** Whether a sheet gives parts of the sheets under it other names. */
export function isRenumbering(sheet: Sheet): boolean {
  return renumberings(statementsInForce(sheet), unwatched(sheet).note.thread).length > 0;
}

/** The sheets, oldest first, each with what it says in the names of the last. */
export function inLastNames(sheets: readonly Sheet[]): readonly InForce[] {
  const found: InForce[] = [];
  let rename: Rename | undefined;
  for (const sheet of [...sheets].reverse()) {
    const own = statementsInForce(sheet);
    const by = rename;
    const statements = by === undefined ? own : own.flatMap((statement) => renamed(statement, by) ?? []);
    found.push({ uri: sheet.uri, sheet, statements });
    rename = earlierNames(own, rename, unwatched(sheet).note.thread);
  }
  return found.reverse();
}

/**
 * Statements of a section that lists what another revision has are no work of ours. A sheet that writes only its differences
 * may do so under such a heading: what it differs in from the one that it follows is what it has itself, and comes first.
 */
export function statementsInForce(sheet: Sheet): readonly Statement[] {
  const elsewhere = sheet.differing;
  if (elsewhere.length === 0) return sheet.statements;
  const lies = ({ span }: Statement, sections: typeof elsewhere): boolean =>
    sections.some(({ bodySpan }) => bodySpan.start <= span.start && span.start < bodySpan.end);
  const own = sheet.statements.filter((statement) => !lies(statement, elsewhere));
  if (sheet.kind !== 'chassis' || sheet.field('follows') === undefined) return own;
  let isOurs = true;
  const ours = elsewhere.filter(({ heading }) => {
    // A deeper heading goes with the one above it.
    if (/^\W*differ/i.test(heading)) isOurs = !OF_ANOTHER.test(heading);
    return isOurs;
  });
  return [...sheet.statements.filter((statement) => lies(statement, ours)), ...own];
}

/** `Differs in revision c`, `Differs on later units`: what others have, not this one. */
const OF_ANOTHER = /^\W*differ\w*\s+(?:in|on|at)\b|\b(?:later|newer|next)\b/i;

/** What a ref of before these sheets is called after them, oldest first; undefined where its part is there no more. */
export function namesSince(sheets: readonly Sheet[]): (ref: Ref) => string | undefined {
  let rename: Rename | undefined;
  for (const sheet of [...sheets].reverse())
    rename = earlierNames(statementsInForce(sheet), rename, unwatched(sheet).note.thread);
  const by = rename;
  return (ref) => (by === undefined ? ref.name : by(ref)?.name);
}

/** The name of a part in the last sheet; undefined where it is there no more. */
type Rename = (ref: Ref) => Ref | undefined;

const renumberings = createPicker((statement: Statement) =>
  statement.kind === 'provenance' && statement.was !== undefined && !statement.planned
    ? { was: statement.was, ref: statement.ref }
    : undefined,
);

/** What the names before this sheet are in the last one: its own renumbering first, then that of the sheets after it. */
function earlierNames(
  own: readonly Statement[],
  later: Rename | undefined,
  thread: object | undefined,
): Rename | undefined {
  const now = new Map<string, Ref>();
  for (const { was, ref } of renumberings(own, thread)) now.set(was.name, ref);
  if (now.size === 0) return later;
  const taken = new Set([...now.values()].map(({ name }) => name));
  const here: Rename = (ref) => {
    const exact = now.get(ref.name);
    if (exact !== undefined) return { ...exact, span: ref.span };
    const whole = ref.section === undefined ? undefined : now.get(ref.whole);
    if (whole !== undefined && whole.section === undefined)
      return { ...ref, name: `${whole.name}${ref.section}`, whole: whole.name, class: whole.class };
    return taken.has(ref.name) || taken.has(ref.whole) ? undefined : ref;
  };
  return (ref) => {
    const next = here(ref);
    return next === undefined || later === undefined ? next : later(next);
  };
}

function renamed(statement: Statement, rename: Rename): Statement | undefined {
  switch (statement.kind) {
    case 'fitted':
    case 'change': {
      const ref = rename(statement.ref);
      if (ref === undefined) return undefined;
      const connections = statement.connections.flatMap((each) => renamedConnection(each, rename) ?? []);
      return { ...statement, ref, connections };
    }
    case 'reading': {
      const at = renamedPoint(statement.at, rename);
      const to = statement.to && renamedPoint(statement.to, rename);
      if (at === undefined || (statement.to !== undefined && to === undefined)) return undefined;
      return { ...statement, at, ...(to && { to }) };
    }
    case 'state': {
      const subject = renamedPoint(statement.subject, rename);
      return subject && { ...statement, subject };
    }
    case 'wire': {
      const from = renamedPoint(statement.from, rename);
      const to = renamedPoint(statement.to, rename);
      return from && to && { ...statement, from, to };
    }
    case 'provenance': {
      // Of an earlier renumbering the old name says nothing here.
      const ref = rename(statement.ref);
      return ref && { ...statement, ref };
    }
    case 'question':
    case 'mod-verdict':
      return statement;
  }
}

function renamedPoint(point: Point, rename: Rename): Point | undefined {
  if (point.kind === 'node') return point;
  if (point.kind === 'ref') return rename(point);
  const ref = rename(point.ref);
  return ref && { ...point, ref };
}

function renamedConnection(connection: Connection, rename: Rename): Connection | undefined {
  const all = (points: readonly Point[]) => points.flatMap((point) => renamedPoint(point, rename) ?? []);
  switch (connection.kind) {
    case 'ends': {
      const from = all(connection.from);
      const to = all(connection.to);
      if (from.length === 0 || (connection.to.length > 0 && to.length === 0)) return undefined;
      return { ...connection, from, to };
    }
    case 'across': {
      const ref = rename(connection.ref);
      return ref && { ...connection, ref };
    }
    case 'terminal': {
      const to = renamedPoint(connection.to, rename);
      return to && { ...connection, to };
    }
    case 'hangs': {
      const on = renamedPoint(connection.on, rename);
      const { far: _, ...rest } = connection;
      const far = connection.far && renamedPoint(connection.far, rename);
      return on && { ...rest, on, ...(far && { far }) };
    }
  }
}
