/**
 * Owns where words stand in a picture: how much room they take, and a place beside their line where they cover neither another
 * line nor other words. Words that fit nowhere are left out of the picture; its alternative text has them all.
 */

export interface Spot {
  readonly x: number;
  readonly y: number;
}

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface Label {
  readonly text: string;
  readonly size: number;
  readonly anchor: 'start' | 'middle' | 'end';
  /** Of the baseline. */
  readonly at: Spot;
}

/** Widths in shares of the letter size, a little more than those of the widest face that a page may be shown in. */
const WIDE = 0.95;
const USUAL = 0.64;
const NARROW = 0.38;
/** Height above the baseline and depth below it. */
const RISE = 0.82;
const DROP = 0.26;

export function textWidth(text: string, size: number): number {
  let width = 0;
  for (const letter of text) {
    const code = letter.codePointAt(0) ?? 0;
    if (code > 0x2fff) width += 1.05;
    else if (/[MWmw@%Ω→−]/.test(letter)) width += WIDE;
    else width += /[ ,.;:'()|!ijlIt\u00a0]/.test(letter) ? NARROW : USUAL;
  }
  return width * size;
}

/** The text, or as much of it as fits, with an ellipsis. */
export function fitted(text: string, size: number, room: number): string {
  if (textWidth(text, size) <= room) return text;
  const letters = [...text];
  while (letters.length > 0 && textWidth(`${letters.join('')}…`, size) > room) letters.pop();
  return letters.length === 0 ? '' : `${letters.join('').trimEnd()}…`;
}

export function boxOf({ text, size, anchor, at }: Label): Box {
  const width = textWidth(text, size);
  const left = anchor === 'start' ? at.x : anchor === 'end' ? at.x - width : at.x - width / 2;
  return { left, right: left + width, top: at.y - size * RISE, bottom: at.y + size * DROP };
}

export function boxAround({ x, y }: Spot, radius: number): Box {
  return { left: x - radius, right: x + radius, top: y - radius, bottom: y + radius };
}

export function overlaps(one: Box, other: Box, gap = 0): boolean {
  return (
    one.left < other.right + gap &&
    other.left < one.right + gap &&
    one.top < other.bottom + gap &&
    other.top < one.bottom + gap
  );
}

export function isInside(inner: Box, outer: Box): boolean {
  return (
    inner.left >= outer.left &&
    inner.right <= outer.right &&
    inner.top >= outer.top &&
    inner.bottom <= outer.bottom
  );
}

/** Keeps what is placed already, so that nothing is written over it. */
export interface Placing {
  /** Puts a label where it is, if there is room; says whether it did. */
  readonly put: (label: Label) => boolean;
  /** Puts words at the best place along a line; undefined where there is none. */
  readonly along: (words: LineWords) => Label | undefined;
  /** The same at the best of the places given, for words that belong to a spot. */
  readonly near: (words: LineWords & { readonly spots: readonly Spot[] }) => Label | undefined;
  readonly labels: readonly Label[];
}

export interface LineWords {
  readonly text: string;
  readonly size: number;
  /** The line that the words belong to. */
  readonly line: readonly Spot[];
  /** Lines that the words could be taken for naming; all others where none are given. */
  readonly rivals?: readonly (readonly Spot[])[];
  /** Rather not at all than across a line or near another than its own. */
  readonly isOptional?: boolean;
  /** Only this part of the line, as shares of its points. */
  readonly between?: readonly [number, number];
}

/** Words keep at least this far from other words [picture units]. */
const GAP = 4;
/** Words stand this far off their line. */
const OFF = 6;
const PLACES = 48;
/** Other lines are looked for this far apart. */
const FINE = 5;

/** Places words within bounds, among lines that they should not cover. */
export function createPlacing(
  bounds: Box,
  lines: readonly (readonly Spot[])[],
  taken: readonly Box[] = [],
): Placing {
  const boxes: Box[] = [...taken];
  const labels: Label[] = [];
  const spots = new Map(lines.map((line) => [line, densely(line)]));
  const isFree = (box: Box): boolean =>
    isInside(box, bounds) && !boxes.some((other) => overlaps(box, other, GAP));
  const put = (label: Label): boolean => {
    const box = boxOf(label);
    if (label.text === '' || !isFree(box)) return false;
    boxes.push(box);
    labels.push(label);
    return true;
  };
  const best = (
    { text, size, line, rivals, isOptional }: LineWords,
    places: readonly { readonly spot: Spot; readonly cost: number }[],
  ): Label | undefined => {
    const words = fitted(text, size, bounds.right - bounds.left);
    const own = spots.get(line) ?? densely(line);
    let found: { label: Label; cost: number } | undefined;
    for (const { spot, cost: least } of places) {
      for (const label of labelsAround(words, size, spot)) {
        const box = boxOf(label);
        if (!isFree(box)) continue;
        const cost = least + costOf(box, line, { own, spots, rivals });
        if (found === undefined || cost < found.cost) found = { label, cost };
      }
    }
    if (found === undefined || (isOptional === true && found.cost >= MISLEADING)) return undefined;
    return put(found.label) ? found.label : undefined;
  };
  return {
    labels,
    put,
    along: (words) => {
      const own = spots.get(words.line) ?? densely(words.line);
      const [first, last] = words.between ?? [0, 1];
      const places = Array.from({ length: PLACES + 1 }, (_, i) => {
        const share = first + ((last - first) * i) / PLACES;
        return { spot: own[Math.round(share * (own.length - 1))], cost: Math.abs(i / PLACES - 0.5) };
      });
      return best(
        words,
        places.flatMap(({ spot, cost }) => (spot === undefined ? [] : [{ spot, cost }])),
      );
    },
    near: (words) =>
      best(
        words,
        words.spots.map((spot, i) => ({ spot, cost: (FAR * i) / Math.max(1, words.spots.length) })),
      ),
  };
}

/** What it costs to stand far off: less than to cover a line. */
const FAR = 6;

function labelsAround(text: string, size: number, { x, y }: Spot): readonly Label[] {
  const up = y - OFF - size * DROP;
  const down = y + OFF + size * RISE;
  const beside = y + size * 0.3;
  return [
    { text, size, anchor: 'middle', at: { x, y: up } },
    { text, size, anchor: 'middle', at: { x, y: down } },
    { text, size, anchor: 'start', at: { x: x + OFF, y: up } },
    { text, size, anchor: 'end', at: { x: x - OFF, y: up } },
    { text, size, anchor: 'start', at: { x: x + OFF, y: down } },
    { text, size, anchor: 'end', at: { x: x - OFF, y: down } },
    { text, size, anchor: 'start', at: { x: x + OFF + 2, y: beside } },
    { text, size, anchor: 'end', at: { x: x - OFF - 2, y: beside } },
    // Beside a line that falls through them, words stand a little further off.
    { text, size, anchor: 'middle', at: { x, y: up - size } },
    { text, size, anchor: 'middle', at: { x, y: down + size } },
  ];
}

/** Covering a line is bad; standing nearer to another line than to one's own is as bad, for it names the wrong one. */
function costOf(
  box: Box,
  line: readonly Spot[],
  {
    own,
    spots,
    rivals,
  }: {
    readonly own: readonly Spot[];
    readonly spots: ReadonlyMap<readonly Spot[], readonly Spot[]>;
    readonly rivals: LineWords['rivals'];
  },
): number {
  let cost = 0;
  let nearest = Number.POSITIVE_INFINITY;
  // Far off a spot the words are as far from what they name as that is.
  const reach = Math.min(...own.map((each) => distanceOf(box, each)));
  for (const [other, dense] of spots) {
    const isRival = other !== line && (rivals === undefined || rivals.includes(other));
    let covered = 0;
    for (const each of dense) {
      const distance = distanceOf(box, each);
      if (distance < 1) covered++;
      if (isRival) nearest = Math.min(nearest, distance);
    }
    if (covered > 0)
      cost += dense === own ? OWN_COVERED + covered : isRival ? RIVAL_COVERED + covered : COVERED;
  }
  if (nearest < reach + 3) cost += MISLEADING;
  return cost + Math.max(0, CLEAR - nearest) / 4;
}

const OWN_COVERED = 24;
const RIVAL_COVERED = 20;
/** A line among many of its kind goes on behind the words. */
const COVERED = 5;
const MISLEADING = 15;
/** From here on no other line is near. */
const CLEAR = OFF * 4;

/** From a box to a place outside of it; nothing within. */
export function distanceOf(box: Box, { x, y }: Spot): number {
  return Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
}

/** Heights of words that stand one above the other beside what they name, in the order given, none nearer than `gap`. */
export function spread(
  heights: readonly number[],
  gap: number,
  top: number,
  bottom: number,
): readonly number[] {
  const order = heights.map((height, i) => ({ height, i })).sort((a, b) => a.height - b.height || a.i - b.i);
  let free = top;
  for (const each of order) {
    each.height = Math.max(each.height, free);
    free = each.height + gap;
  }
  let limit = bottom;
  for (const each of order.toReversed()) {
    each.height = Math.min(each.height, limit);
    limit = each.height - gap;
  }
  return order.sort((a, b) => a.i - b.i).map(({ height }) => height);
}

/** Points along a line no further apart than a letter is wide. */
function densely(line: readonly Spot[]): readonly Spot[] {
  const spots: Spot[] = [];
  for (const [i, spot] of line.entries()) {
    const before = line[i - 1];
    if (before !== undefined) {
      const pieces = Math.min(200, Math.ceil(Math.hypot(spot.x - before.x, spot.y - before.y) / FINE));
      for (let k = 1; k < pieces; k++) {
        spots.push({
          x: before.x + ((spot.x - before.x) * k) / pieces,
          y: before.y + ((spot.y - before.y) * k) / pieces,
        });
      }
    }
    spots.push(spot);
  }
  return spots;
}
