/** Owns what reading one statement gives: what was said and how far, or where it failed and what was wanted there. */
import type { Span } from '../text/span.ts';
import type { Condition, Node, Tag, WritingProblem } from './tree.ts';

type Said<T> = T extends Tag ? Omit<T, 'form' | 'span' | 'conditions' | 'remark'> : never;
/** What a tag says, without where it stands. */
export type Body = Said<Exclude<Tag, { kind: 'candidate' | 'unreadable' }>>;

export interface Statement {
  readonly kind: 'statement';
  readonly body: Body;
  /** How far it was understood. */
  readonly end: number;
  /** What was expected there, for a message if something else stands there. */
  readonly expected: string;
  readonly problems: readonly WritingProblem[];
  /** Set if the first clause was cut short by words that it has no place for. */
  readonly isLoose: boolean;
  /** The node that must be used by a connection of the sheet for this to be a tag at all. */
  readonly candidate: Node | undefined;
  /** What was said before it of how it was read. */
  readonly conditions: readonly Condition[];
}

/** It opens as a tag and cannot be read. */
export interface Failure {
  readonly kind: 'failure';
  readonly at: Span;
  readonly expected: string;
  /** What would mend it, where that is plain. */
  readonly offers?: WritingProblem['offers'];
}

export function statement(
  body: Body,
  end: number,
  expected: string,
  problems: readonly WritingProblem[],
  isLoose = false,
  candidate?: Node,
  conditions: readonly Condition[] = NONE,
): Statement {
  return { kind: 'statement', body, end, expected, problems, isLoose, candidate, conditions };
}

const NONE: readonly Condition[] = [];

/** The same behind conditions that hold for it. */
export function under(conditions: readonly Condition[], said: Statement): Statement {
  const { body, end, expected, problems, isLoose, candidate } = said;
  return statement(body, end, expected, problems, isLoose, candidate, conditions);
}

export function failure(start: number, end: number, expected: string): Failure {
  return { kind: 'failure', at: { start: Math.min(start, end), end }, expected };
}
