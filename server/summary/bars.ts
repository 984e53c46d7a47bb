/**
 * Owns the bar that shows a figure against its limit. It reads in grey and on paper: length tells the share, an upright
 * line the limit, stripes what lies beyond it, a whisker an assumption's band. Its words stand in it for those who listen.
 */
import { type Html, html } from './escape.ts';

export interface Bar {
  /** Share of the limit: 0.83. */
  readonly share: number;
  /** Ends of a band, as shares. */
  readonly low?: number;
  readonly high?: number;
  /** What the bar says in words. */
  readonly says: string;
}

const WIDTH = 120;
const HEIGHT = 12;
const TOP = 2;
const THICK = 8;
/** The least that a whole bar stands for, so that a limit line never stands at the very end. */
const LEAST_SCALE = 1.25;
/** More than this is cut off with an open end: one wild reading must not squash all others. */
const MOST_SCALE = 2;

/** What share the full width of a table's bars stands for: the same for all of them, so that they compare. */
export function scaleOf(shares: readonly number[]): number {
  return Math.min(MOST_SCALE, Math.max(LEAST_SCALE, ...shares.filter(Number.isFinite)));
}

export function drawBar(bar: Bar, scale: number): Html {
  const x = (share: number): number =>
    Number.isFinite(share) ? round((Math.max(0, Math.min(share, scale)) / scale) * WIDTH) : 0;
  const limit = x(1);
  const end = x(bar.share);
  const within = Math.min(end, limit);
  return html`<svg class="bar" role="img" aria-label="${bar.says}" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none"><rect class="track" x="0.5" y="${TOP}" width="${WIDTH - 1}" height="${THICK}"/><rect class="fill" x="0.5" y="${TOP}" width="${round(Math.max(0, within - 0.5))}" height="${THICK}"/>${stripes(limit, end)}${whisker(bar, x)}<line class="limit" x1="${limit}" y1="0" x2="${limit}" y2="${HEIGHT}"/></svg>`;
}

function stripes(from: number, to: number): readonly Html[] {
  const lines: Html[] = [];
  for (let at = from + 1; at < to; at += 3)
    lines.push(
      html`<rect class="over" x="${round(at)}" y="${TOP}" width="${round(Math.min(1.8, to - at))}" height="${THICK}"/>`,
    );
  return lines;
}

function whisker({ low, high }: Bar, x: (share: number) => number): Html | undefined {
  if (low === undefined || high === undefined || x(low) === x(high)) return undefined;
  const middle = TOP + THICK / 2;
  return html`<line class="band" x1="${x(low)}" y1="${middle}" x2="${x(high)}" y2="${middle}"/>`;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
