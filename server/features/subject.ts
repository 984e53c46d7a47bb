/** Owns what a place in a sheet speaks of: the part or point under a cursor, in which phase and set. */
import type { PhaseView } from '../bench/model.ts';
import type { Mention, Phase, QuestionStatement, Statement } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { type Span, touches } from '../text/span.ts';

export interface Subject {
  /** `V5`, `V5.a`, `B+1`; of a question its text with spaces collapsed. */
  readonly name: string;
  readonly ref?: string;
  /** The word under the cursor. */
  readonly span: Span;
  readonly statement?: Statement;
  /** When it speaks: the statement's phase, or that of the section around it. */
  readonly phase: Phase;
  readonly set?: number;
}

/** What is spoken of at an offset; undefined in text that names nothing. */
export function findSubject({ sheet }: Analysis, offset: number): Subject | undefined {
  const statement = smallest(sheet.statements.filter(({ span }) => touches(span, offset)));
  const mention = smallest(sheet.mentions.filter(({ span }) => touches(span, offset)));
  const phase = statement?.phase ?? phaseAt(sheet.sections, offset);
  const set = statement !== undefined && 'set' in statement ? { set: statement.set } : {};
  const said = statement === undefined ? {} : { statement };
  if (statement?.kind === 'question' && mention === undefined) {
    return { name: questionName(statement), span: statement.span, statement, phase, ...set };
  }
  if (mention !== undefined) {
    const ref = mention.ref === undefined ? {} : { ref: mention.ref };
    return { name: mention.name, ...ref, span: mention.span, ...said, phase, ...set };
  }
  if (statement === undefined) return undefined;
  const name = subjectOf(statement);
  return name === undefined ? undefined : { ...name, span: statement.span, statement, phase, ...set };
}

/** The mention that an offset stands on. */
export function findMention({ sheet }: Analysis, offset: number): Mention | undefined {
  return smallest(sheet.mentions.filter(({ span }) => touches(span, offset)));
}

export function questionName(question: QuestionStatement): string {
  return question.expression.replace(/\s+/g, ' ').trim();
}

/** The view that speaks for a phase: its own, else the last one before it that has anything. */
export function findView({ amplifier }: Analysis, phase: Phase): PhaseView | undefined {
  return amplifier.phases.find((view) => view.phase === phase) ?? amplifier.phases.at(-1);
}

function subjectOf(statement: Statement): { readonly name: string; readonly ref?: string } | undefined {
  if ('ref' in statement) return { name: statement.ref.name, ref: statement.ref.name };
  const point =
    statement.kind === 'reading' ? statement.at : statement.kind === 'state' ? statement.subject : undefined;
  if (point === undefined) return undefined;
  if (point.kind === 'terminal') return { name: `${point.ref.name}.${point.terminal}`, ref: point.ref.name };
  return point.kind === 'ref' ? { name: point.name, ref: point.name } : { name: point.name };
}

function phaseAt(sections: Analysis['sheet']['sections'], offset: number): Phase {
  return sections.findLast(({ headingSpan }) => headingSpan.start <= offset)?.phase ?? 'noted';
}

function smallest<T extends { readonly span: Span }>(list: readonly T[]): T | undefined {
  return list.reduce<T | undefined>(
    (best, each) =>
      best === undefined || each.span.end - each.span.start < best.span.end - best.span.start ? each : best,
    undefined,
  );
}
