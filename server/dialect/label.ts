/**
 * Owns the reading of a statement's label: the parts or points that stand before its sign, and the far end of `X to Y`.
 */
import { type ScannedPoint, scanPoint, scanTerminal } from './points.ts';
import { scanRefList } from './references.ts';
import type { Point, Ref } from './tree.ts';

export interface ReadLabel {
  readonly points: readonly Point[];
  readonly series: boolean;
  readonly to?: Point;
  readonly start: number;
  readonly end: number;
}

export function scanPointsOrRefs(
  text: string,
  at: number,
): { readonly points: readonly Point[]; readonly series: boolean; readonly end: number } | undefined {
  const list = scanRefList(text, at);
  const first = scanPoint(text, at);
  if (first === undefined) return undefined;
  // A terminal (`V5.a`, `V5 pin 3`) is no list of parts, and a list goes farther than its first part.
  if (
    list !== undefined &&
    first.point.kind === 'ref' &&
    list.end >= first.end &&
    text.charAt(list.end) !== '.'
  ) {
    return { points: list.refs, series: list.series, end: list.end };
  }
  return { points: [first.point], series: false, end: first.end };
}

export function readLabel(text: string, at: number): ReadLabel | undefined {
  const first = scanPointsOrRefs(text, at);
  if (first === undefined) return undefined;
  const points = [...first.points];
  let { end } = first;
  const only = first.points.length === 1 ? first.points[0] : undefined;
  if (only?.kind === 'terminal' || (only?.kind === 'node' && only.nature === 'rail')) {
    // More points: `V5.a, V6.a: 331 V`; each must be one without doubt.
    for (;;) {
      const gap = /^(?:\s*,\s*(?:and\s+)?|\s+and\s+|\s+)(?=[A-Z])/.exec(text.slice(end, end + 10));
      const next =
        gap === null
          ? undefined
          : scanPoint(text, end + gap[0].length, { free: false, gap: false, hyphenSection: true });
      if (gap === null || next === undefined) break;
      points.push(next.point);
      end = next.end;
    }
  }
  const earth = scanEarth(text, end, only);
  if (earth !== undefined) return { points, series: false, to: earth.point, start: at, end: earth.end };
  const to = /^\s+(?:to|and(?=\s+(?:gnd|chassis)\b))\s+/.exec(text.slice(end, end + 8));
  const second = to === null ? undefined : scanFarEnd(text, end + to[0].length, points[0]);
  if (second === undefined) return { points, series: first.series, start: at, end };
  const first0 = points[0];
  const range = points.length === 1 && first0?.kind === 'ref' ? scanRefList(text, at, true) : undefined;
  // `R4 to R31: as drawn` is a range; `T2 to B+1: 3 V` a reading between two points.
  if (
    range !== undefined &&
    range.end === second.end &&
    range.refs.length > 2 &&
    /^\s*:\s*(?:as drawn|not seen)/i.test(text.slice(range.end))
  ) {
    return { points: range.refs, series: false, start: at, end: range.end };
  }
  return { points, series: first.series, to: second.point, start: at, end: second.end };
}

const EARTH =
  /(?:\s+(?:continuity|cont\.|bond(?:ing)?|resistance))?(?=\s*[:=]?\s*(?:[~<>]\s?)?[\d.,]+\s?m?(?:R\d*|Ω|Ω|ohms?)(?![\p{L}\p{N}])|(?<=[a-z.])\s*[:=]?\s+(?:open|OL)(?![\p{L}\p{N}]))/iuy;

/** `earth 0.1R`, `earth continuity: 0.08 ohm`: ohms of the earth are those from its pin to the chassis. */
function scanEarth(text: string, at: number, only: Point | undefined): ScannedPoint | undefined {
  if (only?.kind !== 'node' || only.name !== 'earth') return undefined;
  EARTH.lastIndex = at;
  const found = EARTH.exec(text);
  if (found === null) return undefined;
  const end = at + found[0].length;
  return { point: { kind: 'node', name: 'chassis', nature: 'ready-made', span: only.span }, end };
}

/** The other probe's point; `V5.a to k` and `V5 pin 3 to pin 4` stay on the same part. */
function scanFarEnd(text: string, at: number, near: Point | undefined): ScannedPoint | undefined {
  const same = near?.kind === 'terminal' ? scanTerminal(text, at, near.ref.class) : undefined;
  if (near?.kind === 'terminal' && same !== undefined && /^\s*:/.test(text.slice(same.end))) {
    const { terminal, by, end } = same;
    return { point: { kind: 'terminal', ref: near.ref, terminal, by, span: { start: at, end } }, end };
  }
  return scanPoint(text, at);
}

export function refsOf(points: readonly Point[]): readonly Ref[] | undefined {
  const refs = points.filter((point): point is Ref => point.kind === 'ref');
  return refs.length === points.length ? refs : undefined;
}

/** A label as the writer wrote it, for messages. */
export function nameOf(text: string, label: ReadLabel): string {
  return text.slice(label.start, label.end).replace(/\s+/g, ' ');
}
