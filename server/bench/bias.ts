/** Owns how a valve gets its bias, as far as its connections and readings tell: rules judge idle dissipation by it. */
import type { PhaseView } from './model.ts';
import { isBiasNode } from './points.ts';

export type BiasMethod = 'cathode' | 'fixed';

/** A grid more negative than this to ground is biased from a supply. */
export const FIXED_BIAS_VOLTS = -5;

/** By the resistor at its cathode, from a supply, or undefined where nothing tells. */
export function findBiasMethod(
  view: Pick<PhaseView, 'roles' | 'parts' | 'readings' | 'circuit' | 'verdictSet'>,
  ref: string,
): BiasMethod | undefined {
  const { roles, parts, circuit, readings, verdictSet } = view;
  const around = (electrode: string) => {
    const node = circuit.nodeOf(`${ref}.${electrode}`);
    return node === undefined ? [] : circuit.attached(node).flatMap((each) => roles.get(each.ref) ?? []);
  };
  const atCathode = around('k');
  if (atCathode.some(({ role }) => role === 'cathode-resistor')) return 'cathode';
  const isReturned = around('g').some(
    ({ role, ref: leak }) =>
      role === 'grid-leak' && [...(parts.get(leak)?.terminals.values() ?? [])].some(isBiasNode),
  );
  if (isReturned || atCathode.some(({ role }) => role === 'sense-resistor')) return 'fixed';
  const grid = circuit.nodeOf(`${ref}.g`) ?? `${ref}.g`;
  const volts = readings.findLast(
    ({ node, toNode, quantity, set }) =>
      node === grid && toNode === undefined && quantity === 'voltage' && set.id === verdictSet?.id,
  )?.value.quantity.value;
  return volts !== undefined && volts <= FIXED_BIAS_VOLTS ? 'fixed' : undefined;
}
