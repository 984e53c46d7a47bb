/**
 * Owns the Sheet: what one note says once phases, sets and the names used in it are known, still in the order written.
 * Nothing is computed here and no other sheet is looked at; that is `bench` and `shop`.
 */
import type {
  Condition,
  Connection,
  FrontMatter,
  Note,
  Point,
  ReadingQuantity,
  Ref,
  Specification,
  State,
  Work,
  WritingProblem,
} from '../dialect/tree.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import type { Quantity } from '../units/si.ts';
import type { Value, WrittenValue } from '../units/value.ts';

export type SheetKind = 'job' | 'chassis' | 'mod' | 'shop';
export type Phase = 'factory' | 'as-found' | 'work' | 'as-left' | 'noted';

/** What a heading's part of the sheet is for; `phase` follows from it, the summary goes by it. */
export type Topic =
  | 'title'
  | 'complaint'
  | 'intake'
  | 'as-found'
  | 'work'
  | 'as-left'
  | 'owner'
  | 'left-alone'
  | 'declined'
  | 'next-time'
  | 'wanted' /* Wanted, Quote, Order: planned */
  | 'differs'
  | 'safety'
  | 'parts'
  | 'other';

export interface Section {
  readonly heading: string;
  readonly depth: number;
  readonly topic: Topic;
  readonly phase: Phase;
  readonly headingSpan: Span;
  /** From behind the heading to the next heading of any level (or the end). */
  readonly bodySpan: Span;
}

/** Readings taken together: one phase, one set of conditions. Ids count from 1 through the sheet. */
export interface ReadingSet {
  readonly id: number;
  readonly phase: Phase;
  readonly conditions: readonly Condition[];
  /** The mains that holds for it, if written in this phase. */
  readonly mains?: Quantity<'V'>;
  /** Where that is written. */
  readonly mainsSpan?: Span;
  /** Behind a lamp limiter or on a variac below nominal: never compared with a chart. */
  readonly limited: boolean;
  /** Powered down: `off`, `discharged`, `plug out`. */
  readonly off: boolean;
  /** Read while idling in normal running: not limited, off, cold, in standby, under signal, with a valve out, a part lifted
   *  or valves swapped; and not a set of part measurements only. */
  readonly normal: boolean;
  readonly span: Span;
}

interface StatementBase {
  readonly phase: Phase;
  /** In an unticked task, or under Wanted/Quote/Order: not applied. */
  readonly planned: boolean;
  /** The whole tag, item or cell. */
  readonly span: Span;
}

/** `=`: fitted from this phase on. */
export interface FittedStatement extends StatementBase {
  readonly kind: 'fitted';
  readonly ref: Ref;
  /** Which of the refs written together it is, for n ends on n refs. */
  readonly index: number;
  readonly of: number;
  readonly series: boolean;
  readonly specification?: Specification;
  readonly connections: readonly Connection[];
  /** Named beside what was read of it (`R1 47R: open`): it says which part that was, and fits none anew. */
  readonly isBesideReading?: true;
}

/** `->`: was, is. */
export interface ChangeStatement extends StatementBase {
  readonly kind: 'change';
  readonly ref: Ref;
  readonly index: number;
  readonly of: number;
  readonly series: boolean;
  readonly was?: Specification;
  readonly is?: Specification;
  readonly work?: Work;
  readonly connections: readonly Connection[];
}

/** `:`: what the meter said. */
export interface ReadingStatement extends StatementBase {
  readonly kind: 'reading';
  readonly at: Point;
  readonly to?: Point;
  readonly quantity: ReadingQuantity;
  readonly values: readonly WrittenValue[];
  readonly frequency?: Quantity<'Hz'>;
  readonly atVolts?: Quantity<'V'>;
  /** The id of its set. A planned or nominal reading takes part in no set: it has that of the readings beside it, 0 if there are none. */
  readonly set: number;
  /** A chart's nominal column, or the reference in `184 (192)`: what it should be, not what was read. */
  readonly nominal: boolean;
  /** Conditions written at this reading's own tag; its set has them too. */
  readonly conditions: readonly Condition[];
}

export interface StateStatement extends StatementBase {
  readonly kind: 'state';
  readonly subject: Point;
  readonly state: State;
  /** What the writer added. */
  readonly remark?: string;
}

export interface WireStatement extends StatementBase {
  readonly kind: 'wire';
  readonly from: Point;
  readonly to: Point;
}

export interface QuestionStatement extends StatementBase {
  readonly kind: 'question';
  readonly expression: string;
  readonly expressionSpan: Span;
  /** The set of equal conditions, else the phase's last before it; 0 where nothing was read. */
  readonly set: number;
}

export interface Acceptance {
  readonly rule: string;
  readonly ruleSpan: Span;
  /** Subjects by name (`V5`, `B+1`); none means the whole sheet. */
  readonly subjects: readonly string[];
  readonly reason?: string;
  readonly span: Span;
}

export interface Keep {
  readonly ref: Ref;
  readonly reason?: string;
  readonly span: Span;
}

export interface ProvenanceStatement extends StatementBase {
  readonly kind: 'provenance';
  readonly ref: Ref;
  readonly says: 'as-drawn' | 'not-seen' | 'was';
  readonly was?: Ref;
}

export interface ModVerdict extends StatementBase {
  readonly kind: 'mod-verdict';
  readonly mod: string;
  readonly verdict: string;
  readonly why?: string;
}

export type Statement =
  | FittedStatement
  | ChangeStatement
  | ReadingStatement
  | StateStatement
  | WireStatement
  | QuestionStatement
  | ProvenanceStatement
  | ModVerdict;

/** Every place where a ref or point is named: declarations, readings, mentions in tags, bare words in prose. */
export interface Mention {
  /** Normal form: `R17`, `V5.a`, `B+1`. */
  readonly name: string;
  /** The ref's normal form where it names a part or a part's terminal. */
  readonly ref?: string;
  readonly span: Span;
  /** The ref's own letters within `span`, which a rename rewrites; absent where only an electrode stands (`a` of `V5: a 331`). */
  readonly refSpan?: Span;
  readonly how: 'declaration' | 'reading' | 'mention' | 'prose';
}

export interface Task {
  readonly done: boolean;
  readonly text: string;
  readonly span: Span;
}

export interface Photo {
  readonly alt: string;
  readonly url: string;
  readonly refs: readonly string[];
  readonly phase: Phase;
  readonly span: Span;
}

export interface Sheet {
  readonly uri: string;
  readonly snapshot: Snapshot;
  readonly note: Note;
  readonly kind: SheetKind;
  readonly frontMatter?: FrontMatter;
  /** A front-matter scalar exactly as written. */
  readonly field: (key: string) => { readonly text: string; readonly span: Span } | undefined;
  readonly title: string;
  readonly sections: readonly Section[];
  /** Those of the sections that list what another revision has, or what this one has itself. */
  readonly differing: readonly Section[];
  readonly sets: readonly ReadingSet[];
  readonly statements: readonly Statement[];
  readonly acceptances: readonly Acceptance[];
  readonly keeps: readonly Keep[];
  readonly mentions: readonly Mention[];
  readonly tasks: readonly Task[];
  readonly photos: readonly Photo[];
  readonly problems: readonly WritingProblem[];
}

/** Whether a written value is one plain number (ambiguous, open, short and unread ones are not). */
export function plainValue(written: WrittenValue | undefined): Value | undefined {
  return written?.kind === 'value' ? written.value : undefined;
}
