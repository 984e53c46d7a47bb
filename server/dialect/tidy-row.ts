/**
 * Owns the normal form of a table's row: only the names and values in its cells, each by itself. A cell keeps its width
 * where the new spelling has room in it, so that a table that was set in columns stays so.
 */
import type { Edit } from '../text/edits.ts';
import type { Unit } from '../units/si.ts';
import { scanPoint } from './points.ts';
import { meaningOfValue } from './tidy-meaning.ts';
import { type Piece, piecesOf } from './tidy-pieces.ts';
import type { PartClass, Row, Tag } from './tree.ts';
import { scanWritten } from './written.ts';

/** The edits that bring a row's cells into normal form; what stands in braces is a tag of its own. */
export function tidyRow({ tags }: Pick<Row, 'tags'>, text: string): readonly Edit[] {
  const edits = new Map<number, Edit>();
  for (const tag of tags) {
    if (tag.form !== 'cell' || tag.kind === 'unreadable') continue;
    for (const piece of piecesOf(tag, text) ?? []) {
      // A reading's point is its column's and its row's: it is written in neither as it is named.
      if (piece.role === 'label' && !isAboutItsCell(tag)) continue;
      const written = text.slice(piece.span.start, piece.span.end);
      const offer = piece.offers.find((each) => isSameInCell(written, each, piece, classOf(tag)));
      if (offer !== undefined) edits.set(piece.span.start, { span: piece.span, text: offer });
    }
  }
  const sorted = [...edits.values()].sort((a, b) => a.span.start - b.span.start);
  return [...sorted, ...padding(sorted, text)];
}

function isAboutItsCell({ kind }: Tag): boolean {
  return kind === 'mention' || kind === 'fitted' || kind === 'change';
}

function classOf(tag: Tag): PartClass | undefined {
  if (tag.kind === 'fitted' || tag.kind === 'change') return tag.refs[0]?.class;
  const at = tag.kind === 'reading' ? tag.items[0]?.at : undefined;
  return at?.kind === 'ref' ? at.class : undefined;
}

/** What a column may give a bare number; a spelling must mean the same under each, because the column is not asked. */
const BARE_UNITS: readonly (Unit | undefined)[] = [undefined, 'V', 'Ohm', 'F', 'H', 'A', 'W'];

function isSameInCell(
  written: string,
  offer: string,
  { role }: Piece,
  partClass: PartClass | undefined,
): boolean {
  if (role === 'label' || role === 'point') {
    const [was, is] = [scanPoint(written, 0), scanPoint(offer, 0)];
    if (was?.end !== written.length || is?.end !== offer.length) return false;
    return nameOfPoint(was.point) === nameOfPoint(is.point);
  }
  // A word before a number makes the cell read as a clause, where the number alone has its column's unit.
  if (role === 'word' || /^about/.test(offer) || isBare(written) !== isBare(offer)) return false;
  return BARE_UNITS.every((unit) => {
    const [was, is] = [scanWritten(written, 0, unit, partClass), scanWritten(offer, 0, unit, partClass)];
    if (was === undefined || is === undefined) return was === is;
    if (was.end !== written.length || is.end !== offer.length) return false;
    // Under a unit that this column cannot have given, for there the value has one meaning.
    if (was.written.kind === 'ambiguous' && is.written.kind === 'ambiguous') return true;
    return meaningOfValue(was.written) === meaningOfValue(is.written);
  });
}

function nameOfPoint(point: NonNullable<ReturnType<typeof scanPoint>>['point']): string {
  return point.kind === 'terminal' ? `${point.ref.name} ${point.by} ${point.terminal}` : point.name;
}

function isBare(written: string): boolean {
  return !/[\p{L}°%]/u.test(written);
}

/** More or fewer spaces before the pipe behind a changed cell: as many as keep the pipe where it stands. */
function padding(edits: readonly Edit[], text: string): readonly Edit[] {
  const grown = new Map<number, number>();
  for (const { span, text: now } of edits) {
    const pipe = pipeBehind(text, span.end);
    if (pipe === undefined) continue;
    grown.set(pipe, (grown.get(pipe) ?? 0) + now.length - (span.end - span.start));
  }
  const pads: Edit[] = [];
  for (const [pipe, by] of grown) {
    let start = pipe;
    while (text.charAt(start - 1) === ' ') start--;
    const wide = pipe - start;
    const wanted = Math.max(Math.min(1, wide), wide - by);
    if (wanted !== wide) pads.push({ span: { start, end: pipe }, text: ' '.repeat(wanted) });
  }
  return pads;
}

/** The next pipe of the line that no backslash escapes; a last cell may have none. */
function pipeBehind(text: string, from: number): number | undefined {
  for (let at = from; at < text.length; at++) {
    const character = text.charAt(at);
    if (character === '\\') at++;
    else if (character === '|') return at;
    else if (character === '\n' || character === '\r') return undefined;
  }
  return undefined;
}
