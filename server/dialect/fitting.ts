/**
 * Owns the reading of what stands behind `=` and `->`: clause by clause, in any order, the words of a specification and
 * where the part is connected.
 */
import { type ScannedConnections, scanConnections, scanLoneEnd } from './connections.ts';
import { createDraft, type Draft, finishDraft, hasSubstance } from './draft.ts';
import { scanOtherFuse } from './fuse.ts';
import { skipGap, skipSpace } from './gaps.ts';
import { scanRef } from './references.ts';
import { scanSpecificationItem, scanUnknownWord } from './specification.ts';
import type { Connection, PartClass, Ref, Specification, Word, WritingProblem } from './tree.ts';

export interface Manner {
  /** In a list item what cannot be read is a remark, so unknown words are not taken for kinds. */
  readonly isItem: boolean;
}

export interface Fitting {
  readonly specification: Specification | undefined;
  readonly connections: readonly Connection[];
  readonly problems: readonly WritingProblem[];
  readonly end: number;
  /** The first clause ends in words that it has no place for. */
  readonly isLoose: boolean;
  /** `in series`, behind several parts: one after the other, as `C40 + C41`. */
  readonly isSeries: boolean;
}

const IN_SERIES = /in series(?!\s+with|[\p{L}\p{N}_-])/iuy;

/** Clause by clause, in any order: values, ratings, kinds, type, and where it is connected. */
export function readFitting(text: string, from: number, refs: readonly Ref[], manner: Manner): Fitting {
  const partClass = refs[0]?.class ?? 'other';
  const draft = createDraft(partClass);
  const connections: Connection[] = [];
  let end = from;
  let at = skipGap(text, from);
  let isFirstClause = true;
  let isLoose = false;
  let isSeries = false;
  while (at < text.length) {
    IN_SERIES.lastIndex = at;
    const series = refs.length > 1 ? IN_SERIES.exec(text) : null;
    if (series !== null) isSeries = true;
    const next =
      series !== null ? at + series[0].length : readFittingWord(text, at, draft, connections, refs.length);
    if (next !== undefined) {
      end = next;
    } else {
      const unknown = takeUnknown(text, at, draft, manner, partClass);
      if (unknown === undefined) {
        isLoose = isFirstClause && /^[A-Za-z]/.test(text.slice(at));
        break;
      }
      end = unknown;
    }
    const behind = skipGap(text, end);
    if (/[,;]/.test(text.slice(end, behind))) isFirstClause = false;
    at = behind;
    if (isEndOfReading(text, at)) break;
  }
  return {
    specification: finishDraft(draft),
    connections,
    problems: draft.problems,
    end,
    isLoose,
    isSeries,
  };
}

/** An arrow, a bracket, a spaced dash or another part with its sign: what follows is another's. */
function isEndOfReading(text: string, at: number): boolean {
  if (/^(?:->|\(|-\s)/.test(text.slice(at, at + 2))) return true;
  // `R6 = 100k; R7 = 1k5`: a part and its sign begin another statement.
  const ref = scanRef(text, at);
  return ref !== undefined && /^\s*(?:=(?!=)|->|:\s)/.test(text.slice(ref.end, ref.end + 6));
}

/** One connection or one word of the specification, whichever the spelling says. */
function readFittingWord(
  text: string,
  at: number,
  draft: Draft,
  connections: Connection[],
  /** How many parts are fitted: several take a point each. */
  count: number,
): number | undefined {
  const sure = scanConnections(text, at, draft.partClass);
  if (
    sure !== undefined &&
    isBoundary(text, sure.end) &&
    (isClauseEnd(text, sure.end) || !endsInWord(sure))
  ) {
    connections.push(...sure.connections);
    return sure.end;
  }
  const other = scanOtherFuse(text, at, draft);
  if (other !== undefined) return other;
  // A second main value that is also a ref's spelling (`250R 5W, R17`) is the ref.
  const hasValue = draft.values.length > 0 || draft.type !== undefined;
  const isSingle = count === 1 && draft.values.length < 2;
  const lone = sure ?? scanLoneEnd(text, at, isSingle ? draft.partClass : undefined);
  const isLone = lone !== undefined && isClauseEnd(text, lone.end);
  if (isLone && hasValue && !isMainsClass(text, at, draft)) {
    connections.push(...lone.connections);
    return lone.end;
  }
  const item = scanSpecificationItem(text, at, draft);
  if (item !== undefined) return item;
  if (!isLone) return undefined;
  connections.push(...lone.connections);
  return lone.end;
}

/** `X2` and `Y1` on a capacitor are its class for the mains side, never a connector or a crystal. */
function isMainsClass(text: string, at: number, draft: Draft): boolean {
  return draft.partClass === 'capacitor' && /^[XY][1-4](?![\p{L}\p{N}_])/u.test(text.slice(at, at + 3));
}

/** Unknown words are kinds (`22n 400V green dipped`); in an item only if something readable follows the comma. */
function takeUnknown(
  text: string,
  at: number,
  draft: Draft,
  manner: Manner,
  partClass: PartClass,
): number | undefined {
  if (!hasSubstance(draft)) return undefined;
  const words: Word[] = [];
  let end = at;
  for (;;) {
    const from = skipSpace(text, end);
    const unknown = scanUnknownWord(text, from);
    if (unknown === undefined || words.length >= 4) break;
    words.push(unknown);
    end = unknown.span.end;
  }
  const last = words[words.length - 1];
  if (last === undefined) return undefined;
  if (manner.isItem) {
    const comma = /^\s*[,;]\s*/.exec(text.slice(end, end + 4));
    if (comma === null && !isMaker(text, end, words, draft)) return undefined;
    if (comma === null) return keep();
    const trial = createDraft(partClass);
    const from = end + comma[0].length;
    const next =
      (scanConnections(text, from, partClass) ?? scanLoneEnd(text, from))?.end ??
      scanSpecificationItem(text, from, trial);
    if (next === undefined || !isClauseEnd(text, next)) return undefined;
  }
  return keep();

  function keep(): number {
    for (const word of words) draft.kinds.push({ text: word.text.toLowerCase(), span: word.span });
    draft.span = { start: draft.span?.start ?? at, end };
    return end;
  }
}

/** Words that begin a remark about a value, whatever number follows them. */
const REMARKING: ReadonlySet<string> = new Set(
  'about check checked found looks measured measures needs nominal previously read reads runs shows still think wants'.split(
    ' ',
  ),
);

/** A maker's name with a rating behind it that was not said yet (`22uF Norwood 63V, across R17`). */
function isMaker(text: string, end: number, words: readonly Word[], draft: Draft): boolean {
  if (words.length > 2 || words.some((word) => REMARKING.has(word.text.toLowerCase()))) return false;
  const trial = createDraft(draft.partClass);
  const next = scanSpecificationItem(text, skipSpace(text, end), trial);
  const [rating] = trial.ratings;
  if (next === undefined || rating === undefined || trial.values.length > 0) return false;
  return isClauseEnd(text, next) && draft.ratings.every(({ of }) => of !== rating.of);
}

/** A node of the sheet's own may be the first word of a remark (`a nice pair`): then it must end its clause. */
function endsInWord({ connections }: ScannedConnections): boolean {
  return connections.some((connection) => {
    const last =
      connection.kind === 'ends'
        ? connection.to[connection.to.length - 1]
        : connection.kind === 'hangs'
          ? (connection.far ?? connection.on)
          : connection.kind === 'terminal'
            ? connection.to
            : undefined;
    return last?.kind === 'node' && last.nature === 'free';
  });
}

function isBoundary(text: string, end: number): boolean {
  return !/[\p{L}\p{N}_]/u.test(text.charAt(end)) && !/^\.[\p{L}\p{N}]/u.test(text.slice(end, end + 2));
}

/** Nothing more in this clause: a comma, an arrow, a bracket, a spaced dash, a full stop or the end. */
export function isClauseEnd(text: string, end: number): boolean {
  return /^\s*(?:$|[,;(]|->|-\s|\.(?:\s|$))/.test(text.slice(end, end + 6));
}
