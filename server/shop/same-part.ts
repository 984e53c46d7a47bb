/** Owns whether a part is what a line asks for: the same value or type in older figures or under another name, and rated at least so. */
import type { FittedPart, Known } from '../bench/model.ts';
import { isVintage, nearestModern } from '../catalogue/preferred-values.ts';

/** `unsaid`: one side does not say what would decide it; `any`: the line asks for nothing. */
export type Likeness = 'same' | 'other' | 'unsaid' | 'any';

/** Nearer than this share is one value, written or rounded differently. */
const ROUNDING = 0.011;

/** By value, type, windings or fuse rating, as the class goes by; ratings stand apart. */
export function likenessTo(part: FittedPart, asked: FittedPart): Likeness {
  if (asked.type !== undefined) {
    if (part.type === undefined) return 'unsaid';
    return isOneType(part, asked) ? 'same' : 'other';
  }
  if (asked.class === 'fuse') return likenessOfFuses(part, asked);
  if (asked.value !== undefined) {
    if (part.value === undefined) return 'unsaid';
    const [one, other] = [part.value.quantity, asked.value.quantity];
    if (one.unit !== other.unit) return 'unsaid';
    return isOneValue(one.value, other.value, asked.class) ? 'same' : 'other';
  }
  if ((asked.specification?.windings.length ?? 0) > 0) return likenessOfWindings(part, asked);
  return 'any';
}

/** 0.02 and 0.022 µF are one value of two times, 330 and 360 Ω are two. */
function isOneValue(one: number, other: number, of: FittedPart['class']): boolean {
  const [low, high] = one < other ? [one, other] : [other, one];
  if (high - low <= ROUNDING * high) return true;
  const kind =
    of === 'capacitor' ? 'capacitor' : of === 'resistor' || of === 'potentiometer' ? 'resistor' : undefined;
  if (kind === undefined) return false;
  return [
    [one, other],
    [other, one],
  ].some(([old = 0, now = 0]) => {
    const modern = isVintage(old, kind) ? nearestModern(old, kind) : undefined;
    return modern !== undefined && Math.abs(modern - now) <= ROUNDING * now;
  });
}

/** `12AX7` and `ECC83` are one type. */
function isOneType({ type: one }: FittedPart, { type: other }: FittedPart): boolean {
  if (one?.valve !== undefined && other?.valve !== undefined) return one.valve.type === other.valve.type;
  return one?.text.toUpperCase() === other?.text.toUpperCase();
}

function likenessOfFuses(part: FittedPart, asked: FittedPart): Likeness {
  const [one, other] = [part.ratings.current, asked.ratings.current];
  if (other === undefined) return 'any';
  if (one === undefined) return 'unsaid';
  if (!isNear(one.quantity.value, other.quantity.value)) return 'other';
  const speed = ({ specification }: FittedPart) => specification?.fuseSpeed?.text.toUpperCase();
  if (speed(asked) === undefined) return 'same';
  if (speed(part) === undefined) return 'unsaid';
  return speed(part) === speed(asked) ? 'same' : 'other';
}

function likenessOfWindings(part: FittedPart, asked: FittedPart): Likeness {
  const said = ({ specification }: FittedPart) =>
    (specification?.windings ?? []).flatMap(({ volts, impedance }) =>
      [volts, impedance].flatMap((each) => (each?.kind === 'value' ? [each.value.quantity.value] : [])),
    );
  const [one, other] = [said(part), said(asked)];
  if (one.length === 0) return 'unsaid';
  return one.length === other.length && one.every((each, i) => isNear(each, other[i] ?? 0))
    ? 'same'
    : 'other';
}

function isNear(one: number, other: number): boolean {
  return Math.abs(one - other) <= ROUNDING * Math.max(Math.abs(one), Math.abs(other));
}

/** One thing that is asked beside the value: a rating, or the kind of part. */
export interface RatingAsked {
  readonly of: 'working voltage' | 'rated watts' | 'rated current' | 'kind';
  readonly is: 'met' | 'missed' | 'unsaid';
}

/** What the line asks beside the value, and whether the part has it: at least so high a rating, that kind. */
export function ratingsAsked(part: FittedPart, asked: FittedPart): readonly RatingAsked[] {
  const found: RatingAsked[] = [];
  const rated = (of: RatingAsked['of'], own: Known | undefined, wanted: Known | undefined): void => {
    if (wanted === undefined) return;
    const least = wanted.quantity.value * (1 - ROUNDING);
    found.push({ of, is: own === undefined ? 'unsaid' : own.quantity.value >= least ? 'met' : 'missed' });
  };
  rated('working voltage', part.ratings.voltage, asked.ratings.voltage);
  rated('rated watts', part.ratings.power, asked.ratings.power);
  if (asked.class !== 'fuse') rated('rated current', part.ratings.current, asked.ratings.current);
  if (asked.kinds.length > 0)
    found.push({
      of: 'kind',
      is:
        part.kinds.length === 0
          ? 'unsaid'
          : asked.kinds.every((kind) => part.kinds.includes(kind))
            ? 'met'
            : 'missed',
    });
  return found;
}

/** Whether it says nothing that the other does not: of two lines of one value, what makes them two. */
export function differsOnlyInRatings(was: FittedPart, is: FittedPart): boolean {
  return likenessTo(was, is) === 'same' || likenessTo(was, is) === 'any';
}
