/** Owns the statements that open with a word or sign of their own: `?`, `accept` and `keep`. */
import { skipSpace } from './gaps.ts';
import { scanPointsOrRefs } from './label.ts';
import { scanRefList } from './references.ts';
import { type Body, type Failure, failure, type Statement, statement } from './said.ts';
import type { Point, Word } from './tree.ts';

export function readQuestion(text: string, at: number, length: number): Statement | Failure {
  const from = at + length;
  const expression = text.slice(from).trimEnd();
  if (expression === '') {
    return failure(at, text.length, '“?” wants something to work out: (B+ - V1A.a) / R6');
  }
  const span = { start: from, end: from + expression.length };
  return statement(
    { kind: 'question', expression: { text: expression.replace(/\s+/g, ' '), span } },
    span.end,
    '',
    [],
  );
}

const RULE = /[a-z][a-z0-9]*(?:-[a-z0-9]+)*/y;

export function readAccept(text: string, at: number): Statement | Failure {
  const from = skipSpace(text, at + 'accept'.length);
  RULE.lastIndex = from;
  const rule = RULE.exec(text);
  if (rule === null)
    return failure(
      from,
      text.length,
      '“accept” wants the name of a finding: accept screen-over-voltage V5: why',
    );
  let end = from + rule[0].length;
  const subjects: Point[] = [];
  for (;;) {
    const gap = /^(?:\s*,\s*|\s+and\s+|\s+)/.exec(text.slice(end, end + 8));
    const list = gap === null ? undefined : scanPointsOrRefs(text, end + gap[0].length);
    if (gap === null || list === undefined) break;
    subjects.push(...list.points);
    end = list.end;
  }
  const reason = readReason(text, end);
  const body: Body = {
    kind: 'accept',
    rule: { text: rule[0], span: { start: from, end: from + rule[0].length } },
    subjects,
    ...(reason?.word === undefined ? {} : { reason: reason.word }),
  };
  return statement(body, reason?.end ?? end, 'a part or point, then a colon and the reason', []);
}

export function readKeep(text: string, at: number): Statement | Failure {
  const from = skipSpace(text, at + 'keep'.length);
  const list = scanRefList(text, from, true);
  if (list === undefined) return failure(from, text.length, '“keep” wants a part: keep C41: owner’s wish');
  const reason = readReason(text, list.end);
  const body: Body = {
    kind: 'keep',
    refs: list.refs,
    ...(reason?.word === undefined ? {} : { reason: reason.word }),
  };
  return statement(body, reason?.end ?? list.end, 'a colon and the reason', []);
}

/**
 * The writer's reason, as it stands, but without the brackets where all of it is in one pair. Behind a colon with nothing after it
 * the reason is still to be filled in.
 */
export function readReason(
  text: string,
  at: number,
): { readonly word?: Word; readonly end: number } | undefined {
  const joint = /^\s*(?:[:,;]|-(?=\s)|(?=\())\s*/.exec(text.slice(at))?.[0];
  if (joint === undefined) return undefined;
  const start = at + joint.length;
  const said = text.slice(start).trimEnd();
  const inside = joint.trim() === '' ? insideBrackets(said) : undefined;
  const reason = inside ?? said;
  if (reason === '') return joint.includes(':') ? { end: start } : undefined;
  const from = start + (inside === undefined ? 0 : said.indexOf(inside, 1));
  return {
    word: { text: reason, span: { start: from, end: from + reason.length } },
    end: start + said.length,
  };
}

/** What is in the pair of brackets that holds the whole, or that is never closed; undefined where there is more behind it. */
function insideBrackets(text: string): string | undefined {
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    if (text.charAt(at) === '(') depth++;
    if (text.charAt(at) === ')' && --depth === 0)
      return at === text.length - 1 ? text.slice(1, -1).trim() : undefined;
  }
  return text.slice(1).trim();
}
