/**
 * Owns the scales of pictures, linear and logarithmic, and the round numbers that stand along them. Every scale is total: what
 * lies beyond its ends is drawn at the end, what is no number at its beginning, so that nothing ever leaves the picture.
 */

export interface Scale {
  /** Place of a value in the picture. */
  readonly at: (value: number) => number;
  /** Round values along it, lowest first, all within it. */
  readonly ticks: readonly number[];
  readonly low: number;
  readonly high: number;
}

export interface Room {
  /** Where the low end stands in the picture, and where the high one does. */
  readonly from: number;
  readonly to: number;
}

/** Sizes beyond this are no figures of an amplifier; they would only overflow on their way. */
const LARGEST = 1e9;

/** A number that a picture can be made of. */
export function isDrawable(value: number | undefined): value is number {
  return value !== undefined && Math.abs(value) <= LARGEST;
}

/** A scale whose ends are round, with no more ticks than asked for and a little more. */
export function linearScale(
  low: number,
  high: number,
  { from, to }: Room,
  most: number,
  ends: 'round' | 'exact' = 'round',
): Scale {
  const [a, b] = [clampSize(Math.min(low, high)), clampSize(Math.max(low, high))];
  // A single value stands in the middle of a range of its own size; two that only rounding tells apart are a single one. With
  // less between them than a step can be told from the next, counting steps would never end.
  const isOne = b - a <= Math.max(Math.abs(a), Math.abs(b), 1 / LARGEST) * 1e-9;
  const half = isOne ? Math.max(Math.abs(a), 1) / 2 : 0;
  const step = roundStep((b - a + 2 * half) / Math.max(1, most));
  const first = Math.floor(round12((a - half) / step));
  const last = Math.ceil(round12((b + half) / step));
  const [bottom, top] = ends === 'round' ? [first * step, last * step] : [a - half, b + half];
  const ticks: number[] = [];
  for (let i = first; i <= last; i++) {
    const tick = Number((i * step).toPrecision(12));
    if (tick >= bottom - step * 1e-9 && tick <= top + step * 1e-9) ticks.push(tick);
  }
  return { at: (value) => place((value - bottom) / (top - bottom), from, to), ticks, low: bottom, high: top };
}

/** A logarithmic scale with ticks at 1, 2 and 5 of every decade. */
export function logScale(low: number, high: number, { from, to }: Room): Scale {
  const a = Math.min(Math.max(low, 1 / LARGEST), LARGEST);
  const b = Math.min(Math.max(high, a * 1.01), LARGEST * 2);
  const span = Math.log(b / a);
  const ticks: number[] = [];
  for (let decade = Math.floor(Math.log10(a)); decade <= Math.log10(b); decade++) {
    for (const digit of [1, 2, 5]) {
      const tick = Number((digit * 10 ** decade).toPrecision(12));
      if (tick >= a * (1 - 1e-9) && tick <= b * (1 + 1e-9)) ticks.push(tick);
    }
  }
  return {
    at: (value) => place(value > 0 ? Math.log(value / a) / span : 0, from, to),
    ticks,
    low: a,
    high: b,
  };
}

/** The next of 1, 2, 5, 10, … that is no less. */
export function roundStep(least: number): number {
  if (!(least > 0) || !Number.isFinite(least)) return 1;
  const decade = 10 ** Math.floor(Math.log10(least));
  const digit = [1, 2, 5].find((each) => each * decade >= least * (1 - 1e-9)) ?? 10;
  return Number((digit * decade).toPrecision(12));
}

function place(share: number, from: number, to: number): number {
  const within = Number.isNaN(share) ? 0 : Math.min(1, Math.max(0, share));
  return from + within * (to - from);
}

function clampSize(value: number): number {
  return Number.isNaN(value) ? 0 : Math.min(LARGEST, Math.max(-LARGEST, value));
}

/** Division leaves a last digit astray, which must not make another tick. */
function round12(value: number): number {
  return Number(value.toPrecision(12));
}
