/** Owns the sentences of a sheet's prose that speak of a part, so that what somebody once wrote of it goes where the part goes. */
import type { Source } from '../bench/model.ts';
import type { Block } from '../dialect/tree.ts';
import type { Mention, Sheet } from '../sheet/model.ts';
import { countBefore } from '../text/halving.ts';
import type { Span } from '../text/span.ts';

export interface PartNote {
  /** As it stands in the sheet, white space collapsed. */
  readonly text: string;
  readonly source: Source;
}

const notes = new WeakMap<Sheet, ReadonlyMap<string, readonly PartNote[]>>();

/** By ref, in reading order: each sentence of a paragraph, list item or cell that names the part. What tags say is no prose. */
export function partNotes(sheet: Sheet): ReadonlyMap<string, readonly PartNote[]> {
  const known = notes.get(sheet);
  if (known !== undefined) return known;
  const found = new Map<string, PartNote[]>();
  const add = (ref: string, span: Span, told = ''): void => {
    const there = sheet.snapshot.text.slice(span.start, span.end).replace(/\s+/g, ' ').trim();
    // Several remarks of one line have the place of one and are told together.
    const text = told.length > there.length ? told : there;
    const own = found.get(ref) ?? [];
    if (text === '' || own.some(({ source }) => source.span.start === span.start)) return;
    found.set(ref, [...own, { text, source: { file: sheet.uri, span } }]);
  };
  const passages = sheet.note.blocks.flatMap(passagesOf).sort((a, b) => a.start - b.start);
  const said = sheet.statements.map(({ span }) => span).sort((a, b) => a.start - b.start);
  for (const mention of sheet.mentions) {
    if (mention.ref === undefined || !isProse(mention, said)) continue;
    const passage = passages[countBefore(passages, ({ start }) => start <= mention.span.start) - 1];
    if (passage === undefined || passage.end < mention.span.end) continue;
    add(mention.ref, sentenceAt(sheet.snapshot.text, passage, mention.span));
  }
  for (const block of sheet.note.blocks) {
    const tags =
      block.kind === 'table'
        ? block.rows.flatMap((row) => row.tags)
        : block.kind === 'opaque'
          ? []
          : block.tags;
    for (const tag of tags) {
      if (tag.remark === undefined || !('refs' in tag)) continue;
      for (const ref of tag.refs) add(ref.kind === 'ref' ? ref.name : '', tag.remark.span, tag.remark.text);
    }
  }
  found.delete('');
  notes.set(sheet, found);
  return found;
}

/** A bare word of prose, or `{R17}` by itself; what stands in a tag that says something is said there. */
function isProse({ how, span }: Mention, said: readonly Span[]): boolean {
  if (how === 'prose') return true;
  if (how !== 'mention') return false;
  const around = said[countBefore(said, ({ start }) => start <= span.start) - 1];
  return around === undefined || around.end < span.end;
}

/** Stretches that hold sentences: a paragraph, a list item's own text, the prose of a cell. */
function passagesOf(block: Block): readonly Span[] {
  switch (block.kind) {
    case 'passage':
      return [block.span];
    case 'table':
      return block.rows.flatMap((row) => row.prose);
    default:
      return [];
  }
}

/** The sentence around a place: it ends at a stop with white space behind it, which a decimal has not. */
function sentenceAt(text: string, passage: Span, place: Span): Span {
  let start = passage.start;
  for (const match of text.slice(passage.start, place.start).matchAll(/[.!?]["')\]]*\s+(?=\S)/g))
    start = passage.start + match.index + match[0].length;
  const rest = /[.!?]["')\]]*(?=\s|$)/.exec(text.slice(place.end, passage.end));
  const end = rest === null ? passage.end : place.end + rest.index + rest[0].length;
  // The mark of a list item, with the box of a task, is no part of what it says.
  const mark = /^\s*(?:[-*+]|\d+[.)])\s+(?:\[[ xX]\]\s+)?/.exec(text.slice(start, end));
  return { start: start + (mark?.[0].length ?? 0), end };
}
