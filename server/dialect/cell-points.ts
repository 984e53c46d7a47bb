/** Owns the first cell of a row: the parts or points that the row is about, and what stands behind them. */
import type { Span } from '../text/span.ts';
import { foldInPlace, unfold } from './folding.ts';
import { scanPoint } from './points.ts';
import { scanRefList } from './references.ts';
import type { Point, Ref, Word } from './tree.ts';

export interface CellPoints {
  readonly points: readonly Point[];
  /** `V5 6V6GT`: what stands behind, a type perhaps. */
  readonly rest?: Word;
}

const SEPARATOR = /^(?:\s*[,;&/]\s*(?:and\s+)?|\s+and\s+|\s+)/;

/** The points of a cell; undefined if it does not begin with one. */
export function readCellPoints(text: string, span: Span): CellPoints | undefined {
  const folded = foldInPlace(text, span);
  const typed = folded.text;
  const points: Point[] = [];
  let end = folded.from;
  while (typed.charAt(end) === ' ') end++;
  for (let at = end; ; ) {
    const point = scanPoint(typed, at);
    const list = point?.point.kind === 'ref' ? scanRefList(typed, at, true) : undefined;
    if (list !== undefined && list.end > (point?.end ?? 0)) {
      points.push(...list.refs);
      end = list.end;
    } else if (point !== undefined) {
      points.push(point.point);
      end = point.end;
    } else break;
    const separator = SEPARATOR.exec(typed.slice(end, end + 12));
    if (separator === null) break;
    at = end + separator[0].length;
  }
  if (points.length === 0) return undefined;
  // A node that only this sheet may know stands alone; beside other words it is one of them.
  if (points.some(isFree) && (points.length > 1 || typed.slice(end).trim() !== '')) return undefined;
  const rest = typed.slice(end);
  const written = rest.replace(/^[\s:(]+/, '').replace(/[\s)]+$/, '');
  const start = end + rest.indexOf(written);
  const word = written === '' ? undefined : { text: written, span: { start, end: start + written.length } };
  return unfold({ points, rest: word }, folded);
}

function isFree(point: Point): boolean {
  return point.kind === 'node' && point.nature === 'free';
}

/** The parts of a cell; undefined if it is not about parts alone. */
export function readCellRefs(
  text: string,
  span: Span,
): { readonly refs: readonly Ref[]; readonly rest?: Word } | undefined {
  const read = readCellPoints(text, span);
  if (read === undefined) return undefined;
  const refs = read.points.filter((point): point is Ref => point.kind === 'ref');
  if (refs.length !== read.points.length) return undefined;
  return { refs, rest: read.rest };
}
