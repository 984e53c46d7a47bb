/** Owns how a figure is held against thresholds: worst first, and a band by its safe end. */
import type { Figure } from '../bench/model.ts';
import type { Quantity } from '../units/si.ts';
import type { Severity } from './rule.ts';

export interface Step {
  readonly severity: Severity;
  /** Fires above this. */
  readonly above: number;
}

/** How near the limit the low end of a band must be for a warning: a wider band says too little. */
const NEAR = 0.85;

/** A number with its band, which need not lie evenly around it. */
type Banded = Pick<Figure, 'quantity' | 'low' | 'high'>;

/**
 * The severity of a figure that is bad when high. With an assumed input, or from the small difference of two coarse
 * readings, the figure is a band: a warning needs its middle over the limit and its low end near it, an error even its
 * low end, so that neither an assumption nor a meter's last digit alone accuses a part.
 */
export function severityOf(
  { quantity, low: least, high }: Banded,
  steps: readonly Step[],
): Severity | undefined {
  const told = quantity.value;
  const low = least ?? told;
  const middle = least === undefined || high === undefined ? told : (least + high) / 2;
  for (const { severity, above } of steps) {
    const isOver = severity === 'error' ? low > above : middle > above && low > NEAR * above;
    if (isOver) return severity;
  }
  return undefined;
}

/** A number with its band as shares of a limit. */
export function shareOfLimit(
  { quantity, low, high }: Banded,
  limit: number,
): Banded & { readonly quantity: Quantity<'1'> } {
  return {
    quantity: { value: quantity.value / limit, unit: '1' },
    low: low === undefined ? undefined : low / limit,
    high: high === undefined ? undefined : high / limit,
  };
}
