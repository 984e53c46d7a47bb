/** Owns changes of text: what an edit is, whether a set of them may stand together, and what they make of a text. */
import { overlaps, type Span } from './span.ts';

/** Replace `span` by `text`; an empty span inserts. */
export interface Edit {
  readonly span: Span;
  readonly text: string;
}

/** Whether no two edits touch the same text (two insertions at one place do). */
export function areDisjoint(edits: readonly Edit[]): boolean {
  const sorted = sortEdits(edits);
  return sorted.every((edit, i) => {
    const next = sorted[i + 1];
    if (next === undefined) return true;
    return !overlaps(edit.span, next.span) && edit.span.start !== next.span.start;
  });
}

/** The text with all edits made; edits must be disjoint, which is the caller's promise and checked. */
export function applyEdits(text: string, edits: readonly Edit[]): string {
  if (!areDisjoint(edits)) throw new Error('edits overlap');
  let result = '';
  let at = 0;
  for (const edit of sortEdits(edits)) {
    result += text.slice(at, edit.span.start) + edit.text;
    at = edit.span.end;
  }
  return result + text.slice(at);
}

function sortEdits(edits: readonly Edit[]): Edit[] {
  return [...edits].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
}
