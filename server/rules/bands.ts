/** Owns how a figure is held against thresholds: worst first, and a band by its safe end. */
import type { Figure } from '../bench/model.ts';
import type { Severity } from './rule.ts';

export interface Step {
  readonly severity: Severity;
  /** Fires above this. */
  readonly above: number;
}

/** How near the limit the low end of a band must be for a warning: a wider band says too little. */
const NEAR = 0.85;

/**
 * The severity of a figure that is bad when high. With an assumed input, or from the small difference of two coarse
 * readings, the figure is a band: a warning needs its middle over the limit and its low end near it, an error even its
 * low end, so that neither an assumption nor a meter's last digit alone accuses a part.
 */
export function severityOf(
  figure: Pick<Figure, 'quantity' | 'low'>,
  steps: readonly Step[],
): Severity | undefined {
  const middle = figure.quantity.value;
  const low = Math.min(figure.low ?? middle, middle);
  for (const { severity, above } of steps) {
    const isOver = severity === 'error' ? low > above : middle > above && low > NEAR * above;
    if (isOver) return severity;
  }
  return undefined;
}
