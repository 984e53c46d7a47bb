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

/** Where a valve stands: volts to its cathode [V], and what it passes [A]. */
export interface Standing {
  readonly anode: number;
  readonly screen: number | undefined;
  readonly cathodeCurrent: number;
}

/** Where a valve stands in a solution; undefined where that does not tell. */
export function standingOf(
  { anode, cathode, screen }: PlacedValve,
  volts: (node: string) => number | undefined,
  cathodeCurrent: number | undefined,
): Standing | undefined {
  const [top, foot] = [volts(anode), volts(cathode)];
  const fed = screen === undefined ? undefined : volts(screen);
  if (top === undefined || foot === undefined || cathodeCurrent === undefined) return undefined;
  return { anode: top - foot, screen: fed === undefined ? undefined : fed - foot, cathodeCurrent };
}

/** One standard deviation of the amplification factor of a valve's model at a point, as a share of it. */
export function amplificationError(valve: PlacedValve, at: Standing): number {
  return Math.min(MOST_OFF, Math.hypot((valve.model?.error ?? 0) / POWER, errorBeyond(valve, at)));
}

/** That part of it which comes from standing beyond the typical points: 0 among them. */
export function errorBeyond({ part, model }: PlacedValve, at: Standing): number {
  const typical = part.type?.valve?.typical ?? [];
  const isTriode = model?.kind === 'triode';
  const volts = isTriode ? at.anode : (at.screen ?? at.anode);
  const told = typical.flatMap(({ anode, screen }): readonly number[] => {
    const own = isTriode ? anode : screen;
    return own === undefined ? [] : [own];
  });
  const currents = typical.map(
    ({ anodeCurrent, screenCurrent }): number => anodeCurrent + (screenCurrent ?? 0),
  );
  if (told.length === 0 || !(volts > 0) || !(at.cathodeCurrent > 0)) return 0;
  const above = Math.max(0, Math.log(volts / Math.max(...told)));
  const below = Math.max(0, Math.log(Math.min(...currents) / at.cathodeCurrent));
  return Math.min(MOST_OFF, OFF_PER_E * Math.hypot(above, below));
}
