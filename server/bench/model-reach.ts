/**
 * Owns how much less a valve's model may be trusted where a stage stands far from the points that it was held against: at
 * higher volts than any of them, or with less current. Near cut-off a law's amplification factor tells most, and knows least.
 */
import type { PlacedValve } from './circuit-netlist.ts';

/** In the middle of the curves a law's current goes about as the third power of its amplification factor, near cut-off far more steeply. */
const POWER = 3;
/**
 * What the factor may be off by besides at e times the volts of the outermost typical point, or at the e-th part of the least
 * current, and at most (house rule, no source).
 */
const OFF_PER_E = 0.15;
const MOST_OFF = 0.15;

/** One standard deviation of the amplification factor of a valve's model at a point, as a share of it. */
export function amplificationError(
  { part, model }: PlacedValve,
  at: {
    readonly anode: number;
    readonly screen: number | undefined;
    readonly cathodeCurrent: number;
  },
): number {
  const typical = part.type?.valve?.typical ?? [];
  const isTriode = model?.kind === 'triode';
  const volts = isTriode ? at.anode : (at.screen ?? at.anode);
  const told = typical.flatMap((point): readonly number[] =>
    [(isTriode ? point.anode : point.screen) ?? []].flat(),
  );
  const currents = typical.map(
    ({ anodeCurrent, screenCurrent }): number => anodeCurrent + (screenCurrent ?? 0),
  );
  const own = (model?.error ?? 0) / POWER;
  if (told.length === 0 || !(volts > 0) || !(at.cathodeCurrent > 0)) return own;
  const above = Math.max(0, Math.log(volts / Math.max(...told)));
  const below = Math.max(0, Math.log(Math.min(...currents) / at.cathodeCurrent));
  return Math.min(MOST_OFF, Math.hypot(own, OFF_PER_E * above, OFF_PER_E * below));
}
