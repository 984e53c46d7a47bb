/** Owns which loudspeakers sit on which tap of an output transformer. */
import { partsOfClass } from './by-class.ts';
import type { FittedPart, PhaseView } from './model.ts';

export interface LoadedTap {
  /** What the tap is marked for. */
  readonly tap: number;
  readonly speakers: readonly FittedPart[];
}

/**
 * Taps that loudspeakers are said to be on; a lone loudspeaker with no place said is on the only tap there is. Loudspeakers in
 * series with others are not followed.
 */
export function loadedTaps(
  view: Pick<PhaseView, 'parts' | 'circuit'>,
  transformer: FittedPart,
): readonly LoadedTap[] {
  const taps: LoadedTap[] = [];
  const all = partsOfClass(view, 'loudspeaker');
  if (all.length === 0) return taps;
  for (const [terminal, node] of transformer.terminals) {
    const tap = Number(/^(\d+(?:\.\d+)?)R$/.exec(terminal)?.[1]);
    if (!(tap > 0)) continue;
    const refs = new Set(view.circuit.attached(node).map(({ ref }) => ref));
    const speakers = [...refs]
      .flatMap((ref) => view.parts.get(ref) ?? [])
      .filter((part) => part.class === 'loudspeaker');
    if (speakers.length === 0) continue;
    if (speakers.some((speaker) => isInSeries(view, speaker, node))) continue;
    taps.push({ tap, speakers });
  }
  if (taps.length > 0) return taps;
  const secondaries = (transformer.specification?.windings ?? []).flatMap(({ side, impedance }) =>
    side === 'secondary' && impedance?.kind === 'value' ? [impedance.value.quantity.value] : [],
  );
  const [only] = all;
  const [tap] = secondaries;
  if (only === undefined || all.length > 1 || only.terminals.size > 0) return [];
  return tap === undefined || secondaries.length > 1 ? [] : [{ tap, speakers: [only] }];
}

function isInSeries(view: Pick<PhaseView, 'parts' | 'circuit'>, speaker: FittedPart, tap: string): boolean {
  return [...speaker.terminals.values()].some(
    (node) =>
      node !== tap &&
      view.circuit
        .attached(node)
        .some(
          ({ ref }) => ref !== speaker.ref && view.parts.get(ref)?.class === 'loudspeaker' && node !== 'gnd',
        ),
  );
}
