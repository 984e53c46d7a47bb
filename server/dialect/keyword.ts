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
  const reason = scanReason(text, end);
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
  const reason = scanReason(text, list.end);
  const body: Body = {
    kind: 'keep',
    refs: list.refs,
    ...(reason?.word === undefined ? {} : { reason: reason.word }),
  };
  return statement(body, reason?.end ?? list.end, 'a colon and the reason', []);
}

/** Behind a colon with nothing after it the reason is still to be filled in. */
function scanReason(text: string, at: number): { readonly word?: Word; readonly end: number } | undefined {
  const colon = /^\s*(?::|-(?=\s)|,|\()\s*/.exec(text.slice(at));
  if (colon === null) return undefined;
  const start = at + colon[0].length;
  const written = text.slice(start).trimEnd();
  const reason = colon[0].includes('(') ? written.replace(/\)$/, '') : written;
  if (reason === '') return colon[0].trimStart().startsWith(':') ? { end: start } : undefined;
  return { word: { text: reason, span: { start, end: start + reason.length } }, end: start + written.length };
}
