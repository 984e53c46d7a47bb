/**
 * Owns the recognition of what an edit left as it was in a piece that had to be read again: a block, row or tag whose text
 * and meaning are the same stays the very same object, at its new place, so that nothing which was made of it is made again.
 */
import { moveSpan, type Span } from '../text/span.ts';
import { isSpan } from './shifting.ts';
import type { Block, FrontMatterEntry, Row, Tag } from './tree.ts';

/** What old and new things are held against each other with. */
export interface Adoption {
  /** The adoption that they stand in. */
  readonly before: string;
  readonly after: string;
  /** Where the spans of what was taken over will stand; moved by `settle`, when all has been compared. */
  readonly places: Map<Span, Span>;
}

/** New blocks in order, with whatever the old ones have of them taken over. The order of what is taken over stays. */
export function adoptBlocks(
  old: readonly Block[],
  fresh: readonly Block[],
  adoption: Adoption,
): readonly Block[] {
  return adoptList(old, fresh, adoption, (before, after): Block => {
    if (before.kind === 'table' && after.kind === 'table') {
      return {
        ...after,
        rows: adoptList(before.rows, after.rows, adoption, (one, two) => adoptRow(one, two, adoption)),
      };
    }
    if (before.kind === 'opaque' || after.kind === 'opaque') return after;
    if (before.kind === 'table' || after.kind === 'table') return after;
    return { ...after, tags: adoptTags(before.tags, after.tags, adoption) };
  });
}

function adoptRow(before: Row, after: Row, adoption: Adoption): Row {
  return { ...after, tags: adoptTags(before.tags, after.tags, adoption) };
}

function adoptTags(old: readonly Tag[], fresh: readonly Tag[], adoption: Adoption): readonly Tag[] {
  return adoptList(old, fresh, adoption, (_before, after) => after);
}

/** Entries of the front matter; those of a map or list inside an entry are its own. */
export function adoptEntries(
  old: readonly FrontMatterEntry[],
  fresh: readonly FrontMatterEntry[],
  adoption: Adoption,
): readonly FrontMatterEntry[] {
  return adoptList(old, fresh, adoption);
}

/**
 * The same things from the front and from the back are the old ones; between them old and new are held against each other
 * one by one, as far as they go, and `within` takes over what it finds inside.
 */
export function adoptList<T extends object>(
  old: readonly T[],
  fresh: readonly T[],
  adoption: Adoption,
  within: (before: T, after: T) => T = (_before, after) => after,
): readonly T[] {
  const result = [...fresh];
  const shorter = Math.min(old.length, fresh.length);
  const take = (i: number, k: number): boolean => {
    const before = old[i];
    const after = fresh[k];
    if (before === undefined || after === undefined) return false;
    const places = new Map<Span, Span>();
    if (!isSame(before, after, adoption, places)) return false;
    for (const [span, place] of places) adoption.places.set(span, place);
    result[k] = before;
    return true;
  };
  let head = 0;
  while (head < shorter && take(head, head)) head++;
  let tail = 0;
  while (tail < shorter - head && take(old.length - 1 - tail, fresh.length - 1 - tail)) tail++;
  for (let i = head; i < shorter - tail; i++) {
    const before = old[i];
    const after = fresh[i];
    if (before !== undefined && after !== undefined) result[i] = take(i, i) ? before : within(before, after);
  }
  return result;
}

/**
 * Whether two trees are the same but for where they stand, and every stretch of text that they point at reads the same. A
 * span that two things share can go to one place only.
 */
function isSame(old: unknown, fresh: unknown, adoption: Adoption, places: Map<Span, Span>): boolean {
  if (typeof old !== 'object' || typeof fresh !== 'object' || old === null || fresh === null)
    return Object.is(old, fresh);
  if (Array.isArray(old)) {
    if (!Array.isArray(fresh) || old.length !== fresh.length) return false;
    return old.every((each, i) => isSame(each, fresh[i], adoption, places));
  }
  if (isSpan(old)) {
    if (!isSpan(fresh)) return false;
    const place = places.get(old) ?? adoption.places.get(old);
    if (place !== undefined && (place.start !== fresh.start || place.end !== fresh.end)) return false;
    places.set(old, fresh);
    return adoption.before.slice(old.start, old.end) === adoption.after.slice(fresh.start, fresh.end);
  }
  const keys = Object.keys(old);
  if (keys.length !== Object.keys(fresh).length) return false;
  const one = old as { readonly [key: string]: unknown };
  const two = fresh as { readonly [key: string]: unknown };
  return keys.every((key) => key in two && isSame(one[key], two[key], adoption, places));
}

/** Moves everything that was taken over to where it stands now. */
export function settle({ places }: Adoption): void {
  for (const [span, { start, end }] of places) moveSpan(span, start, end);
}
