/** Owns tidying a sheet: the edits that bring its tags into normal form, of all of it, of a stretch, or of the one tag under the caret. */
import { tidyTag } from '../dialect/tidy.ts';
import { tidyRow } from '../dialect/tidy-row.ts';
import type { Row, Tag } from '../dialect/tree.ts';
import type { Fix } from '../rules/rule.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Edit } from '../text/edits.ts';
import { overlaps, type Span } from '../text/span.ts';

/**
 * The edits that tidy a sheet, in order and apart; with `within` only those of tags and rows that touch it. Prose, code and
 * front matter are never touched, nor are braces that only might have been a tag.
 */
export function tidyEdits(sheet: Sheet, within?: Span): readonly Edit[] {
  const { text } = sheet.snapshot;
  const isTag = tellTags(sheet);
  const edits: Edit[] = [];
  for (const block of sheet.note.blocks) {
    if (block.kind === 'opaque' || !isWithin(block.span, within)) continue;
    if (block.kind !== 'table') {
      edits.push(...tidyTags(block.tags, text, isTag, within));
      continue;
    }
    for (const row of block.rows) {
      if (!isWithin(row.span, within)) continue;
      edits.push(...tidyTags(row.tags, text, isTag, within), ...tidyCells(row, text, isTag));
    }
  }
  return edits.sort((a, b) => a.span.start - b.span.start);
}

/** Tidying the tag or row that the caret or selection touches, where that changes anything. */
export function tidyHere(sheet: Sheet, at: Span): readonly Fix[] {
  const edits = tidyEdits(sheet, at);
  if (edits.length === 0) return [];
  const rows = sheet.note.blocks.some(
    ({ kind, span }) => kind === 'table' && edits.some((edit) => overlaps(edit.span, span)),
  );
  const title = rows ? 'Tidy this row' : edits.length === 1 ? 'Tidy this tag' : 'Tidy these tags';
  return [{ title, safety: 'safe', edits }];
}

/** Tidying all of the sheet, where that changes anything. */
export function tidyAll(sheet: Sheet): readonly Fix[] {
  const edits = tidyEdits(sheet);
  return edits.length === 0 ? [] : [{ title: 'Tidy all tags', safety: 'safe', edits }];
}

type IsTag = (tag: Tag) => boolean;

/** Braces that open on a name are a tag only where the sheet knows it: then they say something in it. */
function tellTags({ statements }: Sheet): IsTag {
  let said: ReadonlySet<number> | undefined;
  return (tag) => {
    if (tag.kind !== 'candidate') return true;
    said ??= new Set(statements.map(({ span }) => span.start));
    return said.has(tag.span.start);
  };
}

function tidyTags(
  tags: readonly Tag[],
  text: string,
  isTag: IsTag,
  within: Span | undefined,
): readonly Edit[] {
  return tags.flatMap((tag) => {
    if (tag.form === 'cell' || !isWithin(tag.span, within) || !isTag(tag)) return [];
    const edit = tidyTag(tag, text);
    return edit === undefined ? [] : [edit];
  });
}

function tidyCells({ tags }: Row, text: string, isTag: IsTag): readonly Edit[] {
  return tidyRow({ tags: tags.filter(isTag) }, text);
}

/** Touching counts: a caret behind the last letter is still at its tag. */
function isWithin(span: Span, within: Span | undefined): boolean {
  return within === undefined || (span.start <= within.end && within.start <= span.end);
}
