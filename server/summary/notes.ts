/**
 * Owns the writer's own sentences for the bench: what was thought and tried between the tags, under the headings that it stands
 * under. What is told elsewhere on the page (conditions, tasks, complaint, what goes to the owner) is not told again.
 */
import type { Passage } from '../dialect/tree.ts';
import type { Section, Sheet, Topic } from '../sheet/model.ts';
import { countBefore } from '../text/halving.ts';
import type { Span } from '../text/span.ts';
import { type Block, type Item, listOf, paragraph } from './document.ts';
import { passageText } from './prose.ts';
import type { Telling } from './telling.ts';

/** Topics with a section of their own on the page. */
const TOLD: ReadonlySet<Topic> = new Set([
  'complaint',
  'intake',
  'owner',
  'left-alone',
  'declined',
  'next-time',
]);
/** Fewer words than these beside tags and conditions are no sentence: `Mains {mains: 233 V}, dummy load`. */
const LEAST_WORDS = 3;

interface Told {
  readonly heading: string | undefined;
  readonly passages: readonly Passage[];
}

export function noteBlocks(telling: Telling): readonly Block[] {
  return sectionsWithNotes(telling.sheet).flatMap(({ heading, passages }): readonly Block[] => [
    ...(heading === undefined ? [] : [{ kind: 'heading' as const, text: heading }]),
    { kind: 'quoted', blocks: passageBlocks(telling, passages) },
    paragraph(passages.map(({ span }) => telling.places.saySpan(span)).join('; '), 'place'),
  ]);
}

function sectionsWithNotes(sheet: Sheet): readonly Told[] {
  const bySection = new Map<Section | undefined, Passage[]>();
  for (const block of sheet.note.blocks) {
    if (block.kind !== 'passage' || !isSentence(sheet, block)) continue;
    const section = sectionAt(sheet.sections, block.span);
    if (section !== undefined && TOLD.has(section.topic)) continue;
    bySection.set(section, [...(bySection.get(section) ?? []), block]);
  }
  return [...bySection].map(([section, passages]) => ({
    // The sheet's title stands over the page already.
    heading: section?.heading === sheet.title ? undefined : section?.heading,
    passages,
  }));
}

/** The last section that begins before a place; sections stand in the order of the text. */
function sectionAt(sections: readonly Section[], { start }: Span): Section | undefined {
  return sections[countBefore(sections, ({ headingSpan }) => headingSpan.start <= start) - 1];
}

/** Whether a passage says anything beside its tags and conditions. A change tells the sentence that it stands in itself. */
function isSentence(sheet: Sheet, { prose, task, tags, listDepth, standing = [] }: Passage): boolean {
  if (task === 'open' || tags.some(({ kind }) => kind === 'change')) return false;
  if (listDepth > 0 && tags.length > 0) return false;
  let said = prose.map(({ start, end }) => sheet.snapshot.text.slice(start, end)).join(' ');
  for (const { words } of standing) said = said.replace(words, ' ');
  // What nothing was read of stands nowhere else on the page, however short: `ripple 9 Vac @ B+`.
  if (tags.length + standing.length === 0) return /[\p{L}\p{N}]/u.test(said);
  return (said.match(/\p{L}{2,}/gu)?.length ?? 0) >= LEAST_WORDS;
}

/** Paragraphs as such, items of a list as a list. */
function passageBlocks({ sheet, places }: Telling, passages: readonly Passage[]): readonly Block[] {
  const blocks: Block[] = [];
  let items: Item[] = [];
  const closeList = (): void => {
    if (items.length > 0) blocks.push(listOf(items));
    items = [];
  };
  for (const passage of passages) {
    const [text, line] = [passageText(sheet, passage), places.lineOf(passage.span)];
    if (passage.listDepth > 0) items.push({ text, line });
    else {
      closeList();
      blocks.push(paragraph(text, undefined, line));
    }
  }
  closeList();
  return blocks;
}
