/** Owns where a fix puts text of its own: behind the last line of a section, never inside a table, a list's item, code or HTML, with the line ends of its neighbours. */
import type { Section, Sheet } from '../sheet/model.ts';
import type { Edit } from '../text/edits.ts';
import { lineAt, lineEndingNear, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Fix } from './rule.ts';

/** A paragraph of its own at the end of a section; of the text before the first heading where there is none. */
export function paragraphAtEnd(sheet: Sheet, section: Section | undefined, paragraph: string): Edit {
  const { offset } = endOfSection(sheet, section);
  return insertion(sheet.snapshot, offset, paragraph, false);
}

/** List items at the end of a section, in its last list if it ends in one. */
function itemsAtEnd(sheet: Sheet, section: Section | undefined, items: readonly string[]): Edit {
  const { offset, isList } = endOfSection(sheet, section);
  const { snapshot } = sheet;
  return insertion(snapshot, offset, items.join(lineEndingNear(snapshot, offset)), isList);
}

/** A paragraph in front of all that a section says. */
export function paragraphAtStart({ snapshot }: Sheet, { headingSpan }: Section, paragraph: string): Edit {
  return insertion(snapshot, headingSpan.end, paragraph, false);
}

/**
 * The readings that are still to be taken, as lines to fill in under As left; behind the work under a heading of its own
 * where the sheet has none. Lines that are there already are not offered again.
 */
export function linesToFillIn(sheet: Sheet, wanted: readonly string[], title: string): readonly Fix[] {
  const written = new Set(sheet.snapshot.text.split(/\r\n|\r|\n/).map((line) => line.trim()));
  const items = [...new Set(wanted)].filter((line) => !written.has(line));
  if (items.length === 0) return [];
  const asLeft = sheet.sections.findLast(({ topic }) => topic === 'as-left');
  const work = sheet.sections.findLast(({ topic }) => topic === 'work');
  // A sheet without such headings goes by its first change: what stands at its end is as left.
  if (asLeft !== undefined || work === undefined) {
    const section = asLeft ?? sheet.sections.at(-1);
    return [{ title, safety: 'suggestion', edits: [itemsAtEnd(sheet, section, items)] }];
  }
  const last = sheet.sections.findLast(({ phase }) => phase === 'work') ?? work;
  const eol = lineEndingNear(sheet.snapshot, last.headingSpan.start);
  const heading = `${'#'.repeat(work.depth)} As left`;
  const section = [heading, '', ...items].join(eol);
  return [{ title, safety: 'suggestion', edits: [paragraphAtEnd(sheet, last, section)] }];
}

function insertion(snapshot: Snapshot, offset: number, added: string, isNextItem: boolean): Edit {
  const { text } = snapshot;
  const eol = lineEndingNear(snapshot, offset);
  const before = text.slice(0, offset).trim() === '' ? '' : isNextItem ? eol : eol + eol;
  const rest = text.slice(offset);
  // A line that follows at once would become part of the paragraph.
  const isFollowed = /^[^\S\r\n]*(?:\r\n|\r|\n)?[^\S\r\n]*\S/.test(rest);
  return {
    span: { start: offset, end: offset },
    text: `${before}${added}${isFollowed || rest === '' ? eol : ''}`,
  };
}

function endOfSection(
  { snapshot, sections, note, frontMatter }: Sheet,
  section: Section | undefined,
): { readonly offset: number; readonly isList: boolean } {
  const { text } = snapshot;
  const from = section?.headingSpan.end ?? frontMatter?.span.end ?? 0;
  const next = section?.bodySpan.end ?? sections[0]?.headingSpan.start ?? text.length;
  const to = next >= text.length ? text.length : lineSpan(snapshot, lineAt(snapshot, next)).start;
  const blocks = note.blocks.filter(
    ({ kind, span }) => kind !== 'heading' && span.start >= from && span.start < to,
  );
  const last = blocks.at(-1);
  // Code and HTML may run to the end of the sheet, and take in what stands behind them.
  if (last?.kind === 'opaque') {
    const before = blocks.findLast(({ kind }) => kind !== 'opaque');
    return { offset: before?.span.end ?? from, isList: false };
  }
  const offset = from + text.slice(from, Math.max(from, to)).trimEnd().length;
  return { offset, isList: last?.kind === 'passage' && last.container === 'item' };
}
