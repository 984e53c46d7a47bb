/** Owns whether a writer said anything beside a tag: a remark behind it, a cell of its row, the sentence it stands in. */
import type { Block } from '../dialect/tree.ts';
import type { Sheet } from '../sheet/model.ts';
import { contains, type Span } from '../text/span.ts';

/** Whether words stand beside the tag of a span. */
export function hasWordsBeside({ note, snapshot }: Sheet, span: Span): boolean {
  const block = note.blocks.find((each) => contains(each.span, span));
  if (block === undefined) return false;
  return placesBeside(block, span).some((place) =>
    /\p{L}{2}/u.test(snapshot.text.slice(place.start, place.end)),
  );
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
