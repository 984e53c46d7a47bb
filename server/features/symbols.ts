/**
 * Owns a sheet's outline: its headings and, under each, the parts fitted and changed and the valves read there; or the parts alone,
 * in order, for an editor that has the headings already.
 */

import { PHASE_WORDS } from '../bench/saying.ts';
import type { Section, Statement } from '../sheet/model.ts';
import { nameOf } from '../sheet/names.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import { findSection } from './subject.ts';

export interface OutlineSymbol {
  readonly name: string;
  readonly detail: string;
  readonly kind: 'section' | 'part' | 'change' | 'reading';
  /** The whole that the name stands for. */
  readonly span: Span;
  readonly nameSpan: Span;
  readonly children: readonly OutlineSymbol[];
}

export interface OutlineOptions {
  /** Off for an editor that lists Markdown's headings by itself: they would stand in its list of symbols twice. */
  readonly headings: boolean;
}

export function symbols(
  { sheet }: Analysis,
  { headings }: OutlineOptions = { headings: true },
): readonly OutlineSymbol[] {
  const { text } = sheet.snapshot;
  if (!headings) return sheet.statements.flatMap((statement) => symbolOf(statement, text));
  const contents = new Map<Section, OutlineSymbol[]>(sheet.sections.map((section) => [section, []]));
  for (const statement of sheet.statements) {
    const section = findSection(sheet.sections, statement.span.start);
    if (section !== undefined) contents.get(section)?.push(...symbolOf(statement, text));
  }
  return nest(sheet.sections, 0, sheet.sections.length, (section) => contents.get(section) ?? []);
}

/** Sections from `from` to `to` as a tree by depth. */
function nest(
  sections: readonly Section[],
  from: number,
  to: number,
  contents: (section: Section) => readonly OutlineSymbol[],
): readonly OutlineSymbol[] {
  const result: OutlineSymbol[] = [];
  for (let i = from; i < to; ) {
    const section = sections[i];
    if (section === undefined) break;
    let end = i + 1;
    while (end < to && (sections[end]?.depth ?? 0) > section.depth) end++;
    const last = sections[end - 1] ?? section;
    result.push({
      name: section.heading === '' ? '(untitled)' : section.heading,
      detail: detailOf(section),
      kind: 'section',
      span: { start: section.headingSpan.start, end: Math.max(section.headingSpan.end, last.bodySpan.end) },
      nameSpan: section.headingSpan,
      children: [...contents(section), ...nest(sections, i + 1, end, contents)],
    });
    i = end;
  }
  return result;
}

/** The phase that a heading stands for, where it does not say so itself. */
function detailOf({ phase, heading }: Section): string {
  const words = PHASE_WORDS[phase];
  return phase === 'noted' || phase === 'factory' || heading.toLowerCase().includes(words) ? '' : words;
}

function symbolOf(statement: Statement, text: string): readonly OutlineSymbol[] {
  const detail = text.slice(statement.span.start, statement.span.end).replace(/\s+/g, ' ').slice(0, 80);
  const base = { detail, span: statement.span, nameSpan: statement.span, children: [] };
  switch (statement.kind) {
    case 'fitted':
      return [
        {
          ...base,
          name: statement.ref.name,
          kind: 'part',
          nameSpan: within(statement.span, statement.ref.span),
        },
      ];
    case 'change':
      return [
        {
          ...base,
          name: statement.ref.name,
          kind: 'change',
          nameSpan: within(statement.span, statement.ref.span),
        },
      ];
    case 'reading':
      return [
        {
          ...base,
          name: nameOf(statement.at),
          kind: 'reading',
          nameSpan: within(statement.span, statement.at.span),
        },
      ];
    default:
      return [];
  }
}

/** The protocol wants a name's place inside the whole's; a table's ref may stand in another cell. */
function within(whole: Span, name: Span): Span {
  return whole.start <= name.start && name.end <= whole.end ? name : whole;
}
