/** Owns what a writer said beside a tag, if anything: a remark behind it, a cell of its row, the sentence it stands in. */
import type { Block } from '../dialect/tree.ts';
import type { Sheet } from '../sheet/model.ts';
import { contains, type Span } from '../text/span.ts';

/** Whether words stand beside the tag of a span. */
export function hasWordsBeside({ note, snapshot }: Sheet, span: Span): boolean {
  return placesOf(note.blocks, span).some((place) =>
    /\p{L}{2}/u.test(snapshot.text.slice(place.start, place.end)),
  );
}

/** Those words, white space collapsed; empty where there are none. */
export function wordsBeside({ note, snapshot }: Sheet, span: Span): string {
  return placesOf(note.blocks, span)
    .map((place) => snapshot.text.slice(place.start, place.end).replace(/\s+/g, ' ').trim())
    .filter((text) => text !== '')
    .join(' ');
}

function placesOf(blocks: readonly Block[], span: Span): readonly Span[] {
  const block = blocks.find((each) => contains(each.span, span));
  return block === undefined ? [] : placesBeside(block, span);
}

function placesBeside(block: Block, span: Span): readonly Span[] {
  if (block.kind === 'opaque') return [];
  if (block.kind === 'table') {
    return block.rows.filter((row) => contains(row.span, span)).flatMap(({ prose }) => prose);
  }
  const tag = block.tags.find((each) => each.span.start === span.start && each.span.end === span.end);
  if (tag?.form === 'item') return tag.remark === undefined ? [] : [tag.remark.span];
  return block.prose;
}
