/** Owns the judgement whether what stands behind a colon was read, is what is fitted, or is prose. */
import { isPowerRating } from '../catalogue/standard-ratings.ts';
import type { PartClass, ReadingItem, Specification } from './tree.ts';

/** `C12: 10uF 25V`, `R17: 470R 5W`: a value and its rating, as no meter says them together. */
export function isSpecification(items: readonly ReadingItem[]): boolean {
  const part = items[0]?.at;
  if (part?.kind !== 'ref' || items.length < 2 || !items.every(({ at }) => at === part)) return false;
  const [value, ...ratings] = RATED[part.class] ?? [];
  return (
    value !== undefined &&
    items.some(({ quantity }) => quantity === value) &&
    items.some(({ quantity }) => ratings.includes(quantity))
  );
}

/** `R17: 470R, 5W`: no meter reads the watts of a resistor, and these are what one is sold for. */
export function isRatedInWatts(items: readonly ReadingItem[]): boolean {
  return items.some(
    ({ at, quantity, values: [written] }) =>
      at.kind === 'ref' &&
      at.class === 'resistor' &&
      quantity === 'power' &&
      written?.kind === 'value' &&
      isPowerRating(written.value.quantity.value),
  );
}

/** The quantity of a part's value, then those that can only be its ratings beside it. */
const RATED: Partial<Record<PartClass, readonly ReadingItem['quantity'][]>> = {
  resistor: ['resistance', 'power'],
  capacitor: ['capacitance', 'voltage'],
  loudspeaker: ['resistance', 'power'],
  inductor: ['inductance', 'current'],
};

/**
 * Whether what stands behind a colon can only be what is fitted. `R6: 78 V drop` and `R31: 171k +70%` were read, and
 * `V5: 98%` and `V5: 331 at the anode` name no type.
 */
export function isPlainlyFitted(
  { type, values, ratings, windings, fuseSpeed }: Specification,
  isReading: boolean,
) {
  if (type !== undefined) return type.text.split('/').some((each) => TYPE_NAME.test(each));
  if (ratings.length > 0 && ratings.every(({ of, text }) => of === 'tolerance' && /^[+-]\s?\d/.test(text)))
    return false;
  return !isReading || values.length > 0 || windings.length > 0 || fuseSpeed !== undefined;
}

/** With a letter in it, or one of those that are only digits (`5881`, `807`). */
const TYPE_NAME = /[A-Za-z]|^(?:\d{4,5}|8\d\d)$/;

/** One bare number on a whole part, then words (`V5: 2 of them tried`): prose that happens to begin so. */
export function isLooseReading(text: string, end: number, items: readonly ReadingItem[]): boolean {
  const [only] = items;
  if (items.length > 1 || only?.at.kind !== 'ref' || only.to !== undefined) return false;
  return /^\s+[A-Za-z]/.test(text.slice(end, end + 4)) && /\d$/.test(text.slice(0, end).trimEnd().slice(-1));
}
