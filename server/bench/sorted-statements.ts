/** Owns sorting out, of what a sheet states, what each use of it goes by: after an edit only statements that came or went are looked at. */
import type {
  Phase,
  QuestionStatement,
  ReadingStatement,
  Sheet,
  Statement,
  StateStatement,
} from '../sheet/model.ts';
import { unwatched } from '../sheet/watching.ts';
import { createPicker, type Picker } from '../text/picking.ts';
import type { InForce } from './renumbering.ts';
import { valveTalkOf } from './valves.ts';

/** What the lists of one sheet's notes are remembered by; undefined where nothing is to be remembered. */
export function threadOf(sheet: Sheet): object | undefined {
  // Which note it is of does not count as looked at: it tells nothing of what is picked.
  return unwatched(sheet).note.thread;
}

function sorter<R>(pick: (statement: Statement) => R | undefined): (from: InForce) => readonly R[] {
  const picker: Picker<Statement, R> = createPicker(pick);
  /** Of sheets that are read once: each phase asks for the same. */
  const once = new WeakMap<readonly Statement[], readonly R[]>();
  return ({ statements, sheet }) => {
    const thread = threadOf(sheet);
    if (thread !== undefined) return picker(statements, thread);
    let picked = once.get(statements);
    if (picked === undefined) {
      picked = picker(statements, undefined);
      once.set(statements, picked);
    }
    return picked;
  };
}

const isPlanned = (statement: Statement): boolean => 'planned' in statement && statement.planned;

/** All that `followChassis` and `followJob` go by, but for the phases that the others name. */
export const statementsThatFit = sorter((statement) =>
  statement.kind === 'fitted' || statement.kind === 'change' || statement.kind === 'wire'
    ? statement
    : undefined,
);

/** Readings that were taken, not planned. */
export const readingsTaken = sorter<ReadingStatement>((statement) =>
  statement.kind === 'reading' && !isPlanned(statement) ? statement : undefined,
);

/** Readings of parts themselves, which may be measurements of them. */
export const readingsOfParts = sorter<ReadingStatement>((statement) =>
  statement.kind === 'reading' &&
  !isPlanned(statement) &&
  !statement.nominal &&
  statement.at.kind === 'ref' &&
  statement.to === undefined
    ? statement
    : undefined,
);

export const questionsAsked = sorter<QuestionStatement>((statement) =>
  statement.kind === 'question' && !isPlanned(statement) ? statement : undefined,
);

export const statesWritten = sorter<StateStatement>((statement) =>
  statement.kind === 'state' && !isPlanned(statement) ? statement : undefined,
);

/** Statements that a part was looked at or not. */
export const partsSeen = sorter((statement) =>
  statement.kind === 'provenance' && statement.says !== 'was' && !isPlanned(statement)
    ? { ref: statement.ref.name, says: statement.says, span: statement.span }
    : undefined,
);

/** What its statements say of valves, their sections and pins, in a form that is the same where they say the same. */
export const valveTalk = sorter(valveTalkOf);

const phases = sorter(({ phase }): Phase => phase);
const named = new WeakMap<readonly Phase[], readonly Phase[]>();

/** The phases that its statements name, each once. */
export function phasesNamed(from: InForce): readonly Phase[] {
  const all = phases(from);
  const known = named.get(all);
  if (known !== undefined) return known;
  const each = [...new Set(all)];
  named.set(all, each);
  return each;
}
