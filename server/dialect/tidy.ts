/**
 * Owns the normal form of one tag in braces or as a whole list item: `{C14:4n4}` is `{C14: 4n4}`, `V1-A` is `V1A`,
 * `47uF @ 500V` is `47uF 500V`. It sees the one tag and never the sheet. Whatever it changes is read again, and what
 * would then say anything else, in any letter of a remark, is left as the author wrote it.
 */
import type { Edit } from '../text/edits.ts';
import type { Span } from '../text/span.ts';
import { opensTag, readItem, readTag, type TagRead } from './tag.ts';
import { tidyJoint } from './tidy-joints.ts';
import { isNoWorse, meaningOf } from './tidy-meaning.ts';
import { type Piece, piecesOf } from './tidy-pieces.ts';
import type { Tag } from './tree.ts';

/** The edit of `text` that brings a tag of it into normal form; undefined where it is so, or where nothing is sure. */
export function tidyTag({ form, kind, span }: Tag, text: string): Edit | undefined {
  if (form === 'cell' || kind === 'unreadable') return undefined;
  const written = text.slice(span.start, span.end);
  const tidied = tidyWritten(written, form);
  return tidied === undefined ? undefined : smallestEdit(written, tidied, span.start);
}

/** More rounds than any writing needs: each joint that is mended lets the next be read. */
const ROUNDS = 8;

/** The normal form of a tag alone, braces included; undefined where it is in it. */
export function tidyWritten(written: string, form: 'braces' | 'item'): string | undefined {
  let now = written;
  for (let round = 0; round < ROUNDS; round++) {
    const next = tidyOnce(now, form);
    if (next === undefined) return now === written ? undefined : now;
    now = next;
  }
  // It goes round in a circle: then neither form is the normal one.
  return undefined;
}

/** A stretch, and what it may become, in the order in which that is to be tried. */
interface Proposal {
  readonly span: Span;
  readonly offers: readonly string[];
}

function tidyOnce(written: string, form: 'braces' | 'item'): string | undefined {
  const read = readAlone(written, form);
  if (read === undefined) return undefined;
  const pieces = piecesOf(read.tag, written);
  if (pieces === undefined) return undefined;
  const proposals = proposalsFor(read.tag, pieces, written, form);
  if (proposals.length === 0) return undefined;
  const meaning = meaningOf(read);
  const kept = keptIn(pieces, written);
  const isSame = (tidied: string): boolean => {
    const again = readAlone(tidied, form);
    if (again === undefined || meaningOf(again) !== meaning || !isNoWorse(read, again)) return false;
    const now = piecesOf(again.tag, tidied);
    return now !== undefined && keptIn(now, tidied) === kept;
  };
  const all = apply(
    written,
    proposals.map(({ span, offers }) => ({ span, text: offers[0] ?? '' })),
  );
  if (isSame(all)) return all;
  // One of them says something else: then each for itself, in the order of the text.
  const taken: Edit[] = [];
  for (const { span, offers } of proposals) {
    const offer = offers.find((text) => isSame(apply(written, [...taken, { span, text }])));
    if (offer !== undefined) taken.push({ span, text: offer });
  }
  return taken.length === 0 ? undefined : apply(written, taken);
}

function readAlone(written: string, form: 'braces' | 'item'): TagRead | undefined {
  const whole = { start: 0, end: written.length };
  const inner = { start: 1, end: written.length - 1 };
  if (form === 'braces' && !opensTag(written, inner.start, inner.end)) return undefined;
  const read = form === 'item' ? readItem(written, whole) : readTag(written, inner, whole, form);
  return read === undefined || read.tag.kind === 'unreadable' ? undefined : read;
}

function proposalsFor(
  tag: Tag,
  pieces: readonly Piece[],
  written: string,
  form: 'braces' | 'item',
): readonly Proposal[] {
  const proposals: Proposal[] = [];
  let at = form === 'braces' ? 1 : 0;
  let before: Piece | undefined;
  const end = form === 'braces' ? written.length - 1 : written.length;
  const joint = (until: number, after: Piece | undefined): void => {
    const joined = written.slice(at, until);
    // What stands in brackets was not read as any piece, so it is a remark.
    if (/\([^)]*\)/.test(joined)) return;
    const tidied = tidyJoint(joined, { before, after }, tag);
    if (tidied !== joined) proposals.push({ span: { start: at, end: until }, offers: [tidied] });
  };
  for (const piece of pieces) {
    joint(piece.span.start, piece);
    if (piece.offers.length > 0) proposals.push(piece);
    at = piece.span.end;
    before = piece;
  }
  joint(end, undefined);
  const moved = electrodeMovedForward(tag, pieces, written);
  return moved === undefined ? proposals : [moved];
}

const NAMED_BEHIND =
  /^\s+(?:(?:at|on)\s+(?:the\s+)?)?(?:anode|plate|screen|grid|cathode)(?:\s+(?:current|voltage|volts))?(?![\p{L}\p{N}])/u;

/** `35 mA anode current` is `a 35 mA`: what was read stands behind its electrode. */
function electrodeMovedForward(tag: Tag, pieces: readonly Piece[], written: string): Proposal | undefined {
  if (tag.kind !== 'reading') return undefined;
  for (const { at, values } of tag.items) {
    const [value] = values;
    if (at.kind !== 'terminal' || value?.kind !== 'value') continue;
    const { span } = value.value;
    const named = NAMED_BEHIND.exec(written.slice(span.end));
    if (at.span.start < span.end || named === null) continue;
    const piece = pieces.find((each) => each.span.start === span.start);
    const spelled = piece?.offers[0] ?? written.slice(span.start, span.end);
    const end = span.end + named[0].length;
    return { span: { start: span.start, end }, offers: [`${at.terminal} ${spelled}`] };
  }
  return undefined;
}

function keptIn(pieces: readonly Piece[], written: string): string {
  const kept = pieces.filter(({ role }) => role === 'kept');
  return JSON.stringify(kept.map(({ span }) => written.slice(span.start, span.end)));
}

/** The proposals stand in order and never overlap. */
function apply(written: string, edits: readonly Edit[]): string {
  let result = '';
  let at = 0;
  for (const { span, text } of edits) {
    result += written.slice(at, span.start) + text;
    at = span.end;
  }
  return result + written.slice(at);
}

/** What differs between two spellings, so that a cursor elsewhere in the tag stays where it is. */
function smallestEdit(written: string, tidied: string, offset: number): Edit {
  const shorter = Math.min(written.length, tidied.length);
  let head = 0;
  while (head < shorter && written[head] === tidied[head]) head++;
  let tail = 0;
  while (tail < shorter - head && written[written.length - 1 - tail] === tidied[tidied.length - 1 - tail])
    tail++;
  return {
    span: { start: offset + head, end: offset + written.length - tail },
    text: tidied.slice(head, tidied.length - tail),
  };
}
