/** Owns finding what stands at an offset without looking at the whole sheet: statements and mentions by the lines they touch. */
import type { Mention, Sheet, Statement } from '../sheet/model.ts';
import { lineAt, type Snapshot } from '../text/snapshot.ts';
import { type Span, touches } from '../text/span.ts';

interface Lines {
  readonly statements: ReadonlyMap<number, readonly Statement[]>;
  readonly mentions: ReadonlyMap<number, readonly Mention[]>;
}

const linesOf = new WeakMap<Sheet, Lines>();

/**
 * The shortest statement that an offset touches; of several that one tag makes, the one whose subject stands last before it:
 *
 * ```text
 * - plug out: B+1: 4 V, B+2: 2 V
 *             ^ B+1     ^ B+2      and none at `plug out`
 * ```
 */
export function findStatement(sheet: Sheet, offset: number): Statement | undefined {
  let best: Statement | undefined;
  for (const each of getLines(sheet).statements.get(lineAt(sheet.snapshot, offset)) ?? []) {
    if (!touches(each.span, offset) || subjectStart(each) > offset) continue;
    const longer = best === undefined ? 1 : lengthOf(best) - lengthOf(each);
    if (longer > 0 || (longer === 0 && best !== undefined && subjectStart(each) > subjectStart(best)))
      best = each;
  }
  return best;
}

function subjectStart(statement: Statement): number {
  switch (statement.kind) {
    case 'reading':
      return statement.at.span.start;
    case 'state':
      return statement.subject.span.start;
    case 'fitted':
    case 'change':
    case 'provenance':
      return statement.ref.span.start;
    default:
      return statement.span.start;
  }
}

function lengthOf({ span }: { readonly span: Span }): number {
  return span.end - span.start;
}

/** The shortest mention that an offset touches: `a` of `V5: a 331` before the valve, a ref before the point it is part of. */
export function findMention(sheet: Sheet, offset: number): Mention | undefined {
  let best: Mention | undefined;
  for (const each of getLines(sheet).mentions.get(lineAt(sheet.snapshot, offset)) ?? []) {
    if (touches(each.span, offset) && (best === undefined || lengthOf(each) < lengthOf(best))) best = each;
  }
  return best;
}

/** The mentions on a line. */
export function mentionsOn(sheet: Sheet, line: number): readonly Mention[] {
  return getLines(sheet).mentions.get(line) ?? [];
}

function getLines(sheet: Sheet): Lines {
  const known = linesOf.get(sheet);
  if (known !== undefined) return known;
  const lines = {
    statements: byLine(sheet.snapshot, sheet.statements),
    mentions: byLine(sheet.snapshot, sheet.mentions),
  };
  linesOf.set(sheet, lines);
  return lines;
}

function byLine<T extends { readonly span: Span }>(
  snapshot: Snapshot,
  list: readonly T[],
): ReadonlyMap<number, readonly T[]> {
  const lines = new Map<number, T[]>();
  for (const each of list) {
    const last = lineAt(snapshot, each.span.end);
    for (let line = lineAt(snapshot, each.span.start); line <= last; line++) {
      const there = lines.get(line);
      if (there === undefined) lines.set(line, [each]);
      else there.push(each);
    }
  }
  return lines;
}
