/** Owns how a figure is held against thresholds: worst first, and a band by its safe end. */
import type { Figure } from '../bench/model.ts';
import type { Severity } from './rule.ts';

export interface Step {
  readonly severity: Severity;
  /** Fires above this. */
  readonly above: number;
}

/** How near the limit the low end of a band must be for a warning, where a rule has no lower step: a wider band says too little. */
const NEAR = 0.85;

/**
 * The severity of a figure that is bad when high. With an assumed input, or from the small difference of two coarse
 * readings, the figure is a band. An error needs its low end over the limit, and so does a warning where information is a step
 * of the rule: a band that reaches below the limit is that. Without such a step a warning needs the middle over the limit and
 * the low end near it, so that neither an assumption nor a meter's last digit alone accuses a part.
 */
export function severityOf(
  figure: Pick<Figure, 'quantity' | 'low'>,
  steps: readonly Step[],
): Severity | undefined {
  const middle = figure.quantity.value;
  const low = Math.min(figure.low ?? middle, middle);
  const near = steps.some(({ severity }) => severity === 'info') ? 1 : NEAR;
  for (const { severity, above } of steps) {
    const needed = severity === 'error' ? above : severity === 'warning' ? near * above : NEAR * above;
    if (middle > above && low > needed) return severity;
  }
  return undefined;
}
