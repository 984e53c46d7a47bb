/** Owns how a computed number is said in words of the trade: units as written at the bench, shares in per cent, factors plain. */
import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import type { Figure, FigureName } from './model.ts';

/** Figures of unit 1 that are shares of something; the others (a gain) are factors. */
const SHARES: ReadonlySet<FigureName> = new Set([
  'loading',
  'anode-loading',
  'screen-loading',
  'margin',
  'mismatch',
]);

/** Above this a number without unit is a factor (µ = 100, a gain), below it a share (7 %, 110 %). */
const LARGEST_SHARE = 3;

/** `12.9 W`, `4.7 kΩ`; of unit 1 `116 %` or, for a factor, `59.3`. */
export function sayQuantity(quantity: Quantity, as: 'share' | 'factor' | 'by size' = 'by size'): string {
  if (quantity.unit !== '1') return writeQuantity(quantity);
  const isShare = as === 'share' || (as === 'by size' && Math.abs(quantity.value) <= LARGEST_SHARE);
  return isShare ? writePercent(quantity.value) : writeQuantity(quantity);
}

/** A figure's value, or where an assumption widened it its band: `12.1 W to 13.7 W`. */
export function sayFigure({ figure, quantity }: Pick<Figure, 'figure' | 'quantity'>): string {
  return sayQuantity(quantity, SHARES.has(figure) ? 'share' : 'factor');
}
