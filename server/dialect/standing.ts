/**
 * Owns which conditions hold for which tags of a passage: those that stand for all that follow, and those written right
 * before a tag in braces or in brackets right behind it, which are that tag's alone.
 */
import type { Span } from '../text/span.ts';
import { findConditions, pickConditions, readConditions } from './conditions.ts';
import type { Condition, Tag } from './tree.ts';

/** The longest words between a tag and what is said of it. */
const NEAR = 120;

/**
 * What a passage says for the tags that follow it: it is condition words ending in a colon, or it names the mains and
 * says more beside (`Mains {mains: 236 V}, dummy load, twenty minutes warm.`).
 */
export function readStanding(text: string, span: Span, tags: readonly Tag[]): readonly Condition[] {
  const written = text.slice(span.start, span.end).trimEnd();
  if (tags.length === 0) {
    const said = { start: span.start, end: span.start + written.length };
    // `mains 243, 12 min` is no sentence: of conditions alone, with the mains read, it stands without its colon.
    if (!written.endsWith(':')) return readMainsLine(text, said);
    return readConditions(text, said) ?? pickConditions(text, said);
  }
  // A passage may both read the mains and end in a colon: all of it then stands for the list below.
  if (!tags.some(isOfMains)) return [];
  return findConditions(text, span);
}

/** Whether a line is nothing but condition words that hold for what follows. */
export function standsAlone(text: string, span: Span): boolean {
  const isHead = text.slice(span.start, span.end).endsWith(':');
  return (isHead ? (readConditions(text, span) ?? []) : readMainsLine(text, span)).length > 0;
}

function readMainsLine(text: string, { start, end }: Span): readonly Condition[] {
  if (!/^[^\r\n]*\b(?:mains|wall|variac)\b/i.test(text.slice(start, Math.min(end, start + NEAR)))) return [];
  const conditions = readConditions(text, { start, end }) ?? [];
  return conditions.some(({ kind, value }) => kind === 'mains' && value !== undefined) ? conditions : [];
}

function isOfMains(tag: Tag): boolean {
  return tag.kind === 'reading' && tag.items.some(({ at }) => at.kind === 'node' && at.name === 'mains');
}

/** The tags with the conditions that stand right at them: `C14 lifted: {V5.g: 0 V}`, `{V5.g: 0 V} (C14 lifted)`. */
export function withNearbyConditions(text: string, tags: readonly Tag[], within: Span): readonly Tag[] {
  return tags.map((tag, i) => {
    if (tag.form !== 'braces' || tag.kind === 'mention') return tag;
    const before = tags[i - 1]?.span.end ?? within.start;
    const behind = tags[i + 1]?.span.start ?? within.end;
    const found = [
      ...conditionsBefore(text, before, tag.span.start),
      ...conditionsBehind(text, tag.span.end, behind),
    ];
    return found.length === 0 ? tag : { ...tag, conditions: [...tag.conditions, ...found] };
  });
}

/** From the last stop or tag to the colon before this tag. */
function conditionsBefore(text: string, from: number, to: number): readonly Condition[] {
  const written = text.slice(Math.max(from, to - NEAR), to).trimEnd();
  if (!written.endsWith(':')) return [];
  const start = Math.max(from, to - NEAR) + (/^[\s\S]*[.;!?,](?=\s)/.exec(written)?.[0].length ?? 0);
  return readConditions(text, { start, end: Math.max(from, to - NEAR) + written.length }) ?? [];
}

/** In brackets, at once behind the tag; or words to the next stop or the end of the line that are nothing else (`{OT.8R: 2.1 V} clipping`). */
function conditionsBehind(text: string, from: number, to: number): readonly Condition[] {
  const near = text.slice(from, Math.min(to, from + NEAR));
  const brackets = /^[ \t]*\(([^()[\]{}]*)\)/.exec(near);
  if (brackets === null) {
    const words = /^[ \t]+\p{L}[^.,;:!?()[\]{}\r\n]*/u.exec(near)?.[0];
    const next = text.charAt(from + (words?.length ?? 0));
    if (words === undefined || !/^[.,;!?\r\n]?$/.test(next)) return [];
    return readConditions(text, { start: from, end: from + words.length }) ?? [];
  }
  const end = from + brackets[0].length - 1;
  return readConditions(text, { start: end - (brackets[1]?.length ?? 0), end }) ?? [];
}
