/** Owns the question how a valve is biased, so that the rules of cathode bias and of fixed bias never speak of the same valve. */
import type { PhaseView } from '../bench/model.ts';
import { isBiasNode } from '../bench/points.ts';
import { findVolts } from './voltages.ts';

/** A grid more negative than this to ground is held there by a supply. */
const HELD_NEGATIVE = -5;

/**
 * Whether a bias supply holds the valve's grid: read well below ground, or returned through its leak to a bias point. A
 * valve with a cathode resistor as well is judged as one with cathode bias.
 */
export function isFixedBias(view: PhaseView, valve: string): boolean {
  const { selfBiased, returnedToBias } = biasOf(view);
  if (selfBiased.has(valve)) return false;
  const grid = findVolts(view, `${valve}.g`)?.value.quantity.value;
  return grid === undefined ? returnedToBias.has(valve) : grid <= HELD_NEGATIVE;
}

/** Whether the valve's grid leak goes to a bias point and nothing else biases it. A small valve's grid may stand negative by its own swing. */
export function isReturnedToBias(view: PhaseView, valve: string): boolean {
  const { selfBiased, returnedToBias } = biasOf(view);
  return returnedToBias.has(valve) && !selfBiased.has(valve);
}

interface Biasing {
  readonly selfBiased: ReadonlySet<string>;
  readonly returnedToBias: ReadonlySet<string>;
}

/** By the roles of a view and its parts, which stay while only readings change: several rules ask it of every valve. */
const biasings = new WeakMap<
  PhaseView['roles'],
  { readonly parts: PhaseView['parts']; readonly biasing: Biasing }
>();

function biasOf({ roles, parts }: PhaseView): Biasing {
  const known = biasings.get(roles);
  if (known?.parts === parts) return known.biasing;
  const selfBiased = new Set<string>();
  const returnedToBias = new Set<string>();
  for (const { ref, role, serves } of roles.values()) {
    if (role === 'cathode-resistor') for (const valve of serves) selfBiased.add(valve);
    if (role !== 'grid-leak') continue;
    if (![...(parts.get(ref)?.terminals.values() ?? [])].some(isBiasNode)) continue;
    for (const valve of serves) returnedToBias.add(valve);
  }
  const biasing = { selfBiased, returnedToBias };
  biasings.set(roles, { parts, biasing });
  return biasing;
}

/** Anodes rated below this belong to small valves, whose idle share of the rating is nobody's bias. */
const OUTPUT_VALVE_WATTS = 5;

/** Whether the rules of fixed bias judge the valve: an output valve whose grid a bias supply holds. */
export function isFixedBiasOutput(view: PhaseView, valve: string): boolean {
  const rated = view.parts.get(valve)?.type?.valve?.limits.anodeDissipation?.value;
  return rated !== undefined && rated >= OUTPUT_VALVE_WATTS && isFixedBias(view, valve);
}
