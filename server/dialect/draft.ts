/** Owns a specification while it is being read: what was found so far, and what it is when it is finished. */
import type { Span } from '../text/span.ts';
import type { WrittenValue } from '../units/value.ts';
import { withPrimaryTaps } from './primary-taps.ts';
import type { PartClass, Rating, Specification, Winding, Word, WritingProblem } from './tree.ts';
import { writtenAs } from './written.ts';

/** A specification while it is being read. */
export interface Draft {
  readonly partClass: PartClass;
  readonly values: WrittenValue[];
  readonly ratings: Rating[];
  readonly kinds: Word[];
  readonly windings: Winding[];
  readonly problems: WritingProblem[];
  type: Word | undefined;
  fuseSpeed: Word | undefined;
  span: Span | undefined;
}

export function createDraft(partClass: PartClass): Draft {
  return {
    partClass,
    values: [],
    ratings: [],
    kinds: [],
    windings: [],
    problems: [],
    type: undefined,
    fuseSpeed: undefined,
    span: undefined,
  };
}

/** The finished specification; undefined if nothing was said. */
export function finishDraft(draft: Draft): Specification | undefined {
  const { span, kinds, type, fuseSpeed } = draft;
  if (span === undefined) return undefined;
  // The volts of a Zener diode are its value, of any other diode what it withstands.
  const zener = kinds.some((kind) => kind.text === 'zener')
    ? draft.ratings.find((rating) => rating.of === 'voltage')
    : undefined;
  const values = zener === undefined ? draft.values : [zener.value, ...draft.values];
  const ratings = zener === undefined ? draft.ratings : draft.ratings.filter((rating) => rating !== zener);
  const isMains = kinds.some((kind) => kind.text === 'mains');
  const windings = isMains ? withPrimaryTaps(draft.windings) : draft.windings;
  return {
    span,
    values,
    ratings,
    kinds,
    type,
    windings,
    fuseSpeed,
  };
}

/** Whether it says more than kinds: what a remark's words alone would also say. */
export function hasSubstance(draft: Draft): boolean {
  return (
    draft.values.length > 0 ||
    draft.ratings.length > 0 ||
    draft.windings.length > 0 ||
    draft.type !== undefined ||
    draft.fuseSpeed !== undefined
  );
}

/** Files `meaning` as a rating that stands at `start`; the offset behind it. */
export function addRating(
  draft: Draft,
  of: Rating['of'],
  text: string,
  start: number,
  end: number,
  meaning: string,
): number {
  const span = { start, end };
  const value = writtenAs(text, span, meaning, undefined, draft.partClass);
  draft.ratings.push({ of, value, text: text.slice(start, end), span });
  return end;
}

export function word(text: string, start: number, end: number): Word {
  return { text: text.slice(start, end), span: { start, end } };
}
