/** Owns what a place in a sheet speaks of: the part or point under a cursor, in which phase and set. */
import type { PhaseView } from '../bench/model.ts';
import type { Mention, Phase, QuestionStatement, Section, Sheet, Statement } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import { countBefore } from '../text/halving.ts';
import { contains, type Span } from '../text/span.ts';
import { findMention, findStatement } from './lines.ts';

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
export function findSubject(analysis: Analysis, offset: number): Subject | undefined {
  const { sheet } = analysis;
  const statement = findStatement(sheet, offset);
  const mention = findNamed(analysis, offset);
  const phase = statement?.phase ?? findSection(sheet.sections, offset)?.phase ?? 'noted';
  const set = statement !== undefined && 'set' in statement ? { set: statement.set } : {};
  const said = statement === undefined ? {} : { statement };
  if (mention !== undefined) {
    const ref = mention.ref === undefined ? {} : { ref: mention.ref };
    return { name: mention.name, ...ref, span: mention.span, ...said, phase, ...set };
  }
  if (statement === undefined) return undefined;
  const name = subjectOf(statement);
  return name === undefined ? undefined : { ...name, span: statement.span, statement, phase, ...set };
}

/** What is named at an offset: in a tag, or as a bare word of prose that is a part of this sheet or of its chassis sheet. */
export function findNamed(
  { sheet, amplifier }: Analysis,
  offset: number,
): Pick<Mention, 'name' | 'ref' | 'span'> | undefined {
  const mention = findMention(sheet, offset);
  if (mention !== undefined) return mention;
  // The sheet alone does not know the chassis sheet's parts, so their bare names are found here.
  const { text } = sheet.snapshot;
  const before = /[\p{L}\p{N}]*$/u.exec(text.slice(Math.max(0, offset - LONGEST_REF), offset))?.[0] ?? '';
  const after = /^[\p{L}\p{N}]*/u.exec(text.slice(offset, offset + LONGEST_REF))?.[0] ?? '';
  const name = before + after;
  if (name === '' || !amplifier.phases.some(({ parts }) => parts.has(name))) return undefined;
  const span = { start: offset - before.length, end: offset + after.length };
  return isProse(sheet, span) ? { name, ref: name, span } : undefined;
}

/** No ref is longer; a longer word is none. */
const LONGEST_REF = 9;

function isProse({ note }: Sheet, span: Span): boolean {
  const block = note.blocks.find((each) => contains(each.span, span));
  if (block === undefined || block.kind === 'opaque') return false;
  const stretches = block.kind === 'table' ? block.rows.flatMap(({ prose }) => prose) : block.prose;
  return stretches.some((each) => contains(each, span));
}

function questionName(question: QuestionStatement): string {
  return question.expression.replace(/\s+/g, ' ').trim();
}

/** The view that speaks for a phase: its own, else the last one that there is. */
export function findView({ amplifier }: Analysis, phase: Phase): PhaseView | undefined {
  return amplifier.phases.find((view) => view.phase === phase) ?? amplifier.phases.at(-1);
}

/** The last section that begins at or before an offset; sections stand in order. */
export function findSection(sections: readonly Section[], offset: number): Section | undefined {
  return sections[countBefore(sections, ({ headingSpan }) => headingSpan.start <= offset) - 1];
}

function subjectOf(statement: Statement): { readonly name: string; readonly ref?: string } | undefined {
  if (statement.kind === 'question') return { name: questionName(statement) };
  if ('ref' in statement) return { name: statement.ref.name, ref: statement.ref.name };
  const point =
    statement.kind === 'reading' ? statement.at : statement.kind === 'state' ? statement.subject : undefined;
  if (point === undefined) return undefined;
  if (point.kind === 'terminal') return { name: `${point.ref.name}.${point.terminal}`, ref: point.ref.name };
  return point.kind === 'ref' ? { name: point.name, ref: point.name } : { name: point.name };
}
