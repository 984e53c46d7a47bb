/** Owns how a figure is held against thresholds: worst first, and a band by its safe end. */
import type { Figure } from '../bench/model.ts';
import type { Severity } from './rule.ts';

export interface Step {
  readonly severity: Severity;
  /** Fires above this. */
  readonly above: number;
}

/**
 * The severity of a figure that is bad when high. With an assumed input the figure is a band: a warning needs its middle
 * over the limit, an error even its low end, so that an assumption alone never makes an error.
 */
export function severityOf(
  figure: Pick<Figure, 'quantity' | 'low'>,
  steps: readonly Step[],
): Severity | undefined {
  for (const { severity, above } of steps) {
    const value =
      severity === 'error'
        ? Math.min(figure.low ?? figure.quantity.value, figure.quantity.value)
        : figure.quantity.value;
    if (value > above) return severity;
  }
  return undefined;
}
