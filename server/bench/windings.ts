/** Owns how a mains transformer's windings are found from the names of their nodes, and what volts a rectifier on one gets. */
import type { Winding } from '../dialect/tree.ts';
import type { BenchReading, FittedPart, PhaseView } from './model.ts';

/**
 * How far a winding's volts without load stand above those at its rated current, as a share of the latter; the other way
 * round, what it loses there (common practice, no source). A label does not say which of the two it means. Whoever asks what
 * parts must bear takes it as with load, so that there is more without; whoever asks where a supply stands in play takes it as
 * without, with a band up to the other meaning.
 */
export const REGULATION = { least: 0.04, usual: 0.07, most: 0.1 } as const;

/** The transformer and winding that a node is named after: `T1`, or `T1.2` for its second; a mains transformer may go by `PT` or `MT`. */
export function windingNamed(node: string): { readonly ref: string; readonly index?: number } | undefined {
  const [, ref, index] = /^(T[A-Z]*\d+[A-Z]?|[PM]T\d*[A-Z]?)(?:\.(\d+))?$/.exec(node) ?? [];
  return ref === undefined ? undefined : { ref, ...(index !== undefined && { index: Number(index) }) };
}

/** A secondary with its volts written: by number, or where none is asked for the one of the highest voltage. */
export function findSecondary({ specification }: FittedPart, index: number | undefined): Winding | undefined {
  const secondary =
    specification?.windings.filter(
      ({ side, volts: written }) => side === 'secondary' && written?.kind === 'value',
    ) ?? [];
  if (index !== undefined) return secondary[index - 1];
  return secondary.reduce<Winding | undefined>(
    (best, each) => (best === undefined || writtenVolts(each) > writtenVolts(best) ? each : best),
    undefined,
  );
}

function writtenVolts({ volts: written }: Winding): number {
  return written?.kind === 'value' ? written.value.quantity.value : 0;
}

/** What each rectifier sees: of a centre-tapped winding one half, which `290-0-290V` gives and `580V CT` gives twice. */
export function ratedVolts({ volts: written, centreTapped }: Winding): number | undefined {
  if (written?.kind !== 'value') return undefined;
  const { quantity, spelling } = written.value;
  return centreTapped && !/-\s?0\s?-/.test(spelling) ? quantity.value / 2 : quantity.value;
}

/** The last that was read of a transformer itself since it was fitted: on the job, else on its chassis sheet. */
export function findOnTransformer(
  { nominals }: Pick<PhaseView, 'nominals'>,
  { ref, measured, since }: FittedPart,
  wanted: 'halves' | 'resistance',
): BenchReading | undefined {
  // What a chassis sheet says holds for its own transformer, not for another that was put in.
  return [...(since === 'factory' ? nominals : []), ...measured].findLast(
    ({ at, to, quantity, special }) =>
      at === ref && to === undefined && quantity === wanted && special === undefined,
  );
}
