/** Owns how a computed number is said in words of the trade: units as written at the bench, shares in per cent, factors plain. */

import type { Phase } from '../sheet/model.ts';
import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import type { Figure, FigureName } from './model.ts';

/** Figures of unit 1 that are shares of something; the others (a gain) are factors. */
const SHARES: ReadonlySet<FigureName> = new Set([
  'loading',
  'anode-loading',
  'screen-loading',
  'current-loading',
  'heater-loading',
  'reservoir-loading',
  'margin',
  'mismatch',
]);

/** Whether a figure of unit 1 is said in per cent. */
export function isShare(figure: FigureName): boolean {
  return SHARES.has(figure);
}

/** Above this a number without unit is a factor (µ = 100, a gain), below it a share (7 %, 110 %). */
const LARGEST_SHARE = 3;

/** `12.9 W`, `4.7 kΩ`; of unit 1 `116 %` or, for a factor, `59.3`. */
export function sayQuantity(quantity: Quantity, as: 'share' | 'factor' | 'by size' = 'by size'): string {
  if (quantity.unit !== '1') return writeQuantity(quantity);
  const inPercent = as === 'share' || (as === 'by size' && Math.abs(quantity.value) <= LARGEST_SHARE);
  return inPercent ? sayShare(quantity.value) : writeQuantity(quantity);
}

/** A digit more where three would say 100 %, so that what is just over the limit does not read as being on it. */
function sayShare(share: number): string {
  const said = writePercent(share);
  return /^100\D/.test(said) ? writePercent(share, { digits: 4 }) : said;
}

/** A figure's value: `12.9 W`, `116 %`, a gain of `59.3`. */
export function sayFigure({ figure, quantity }: Pick<Figure, 'figure' | 'quantity'>): string {
  return sayQuantity(quantity, isShare(figure) ? 'share' : 'factor');
}

/** A figure's value, or where an assumption widened it only its band: `12.1 W to 13.7 W`. */
export function sayBand({
  figure,
  quantity,
  low,
  high,
}: Pick<Figure, 'figure' | 'quantity' | 'low' | 'high'>): string {
  if (low === undefined || high === undefined) return sayFigure({ figure, quantity });
  const end = (value: number) => sayFigure({ figure, quantity: { ...quantity, value } });
  return end(low) === end(high) ? end(low) : `${end(low)} to ${end(high)}`;
}

/** What the phases are called where people read them. */
export const PHASE_WORDS: Readonly<Record<Phase, string>> = {
  factory: 'chassis sheet',
  'as-found': 'as found',
  work: 'during the work',
  'as-left': 'as left',
  noted: 'noted',
};

/** Two values with a word between; the unit once where both have the same. */
export function joinValues(from: string, between: string, to: string): string {
  const unit = /\u00a0.*$/.exec(from)?.[0];
  const isSameUnit = unit !== undefined && to.endsWith(unit);
  return `${isSameUnit ? from.slice(0, -unit.length) : from}${between}${to}`;
}
