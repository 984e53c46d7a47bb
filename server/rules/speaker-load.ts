/** Owns which loudspeakers sit on which tap of the output transformer, and what load they make together. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { loadedTaps } from '../bench/speaker-taps.ts';
import { findNominalImpedance } from '../catalogue/loudspeaker-facts.ts';
import { parallelResistance } from '../electronics/combined-resistance.ts';
import { ohms } from '../units/si.ts';

export interface SpeakerLoad {
  readonly transformer: FittedPart;
  readonly speakers: readonly FittedPart[];
  /** What the tap is marked for. */
  readonly tap: number;
  /** Nominal impedance of all of them side by side. */
  readonly load: number;
  /** `8 Ω by its resistance of 6.2 Ω` where it is not the marking. */
  readonly by: string;
}

/** Each tap with loudspeakers whose impedance is known; loudspeakers in series with others are not followed. */
export function speakerLoads(view: PhaseView): readonly SpeakerLoad[] {
  const loads: SpeakerLoad[] = [];
  if (partsOfClass(view, 'loudspeaker').length === 0) return loads;
  for (const transformer of partsOfClass(view, 'transformer', 'transformer-or-transistor')) {
    if (view.roles.get(transformer.ref)?.role !== 'output-transformer') continue;
    for (const { tap, speakers } of loadedTaps(view, transformer)) {
      const nominal = speakers.map(nominalOf);
      const known = nominal.flatMap((each) => (each === undefined ? [] : [each]));
      const together = parallelResistance(known.map((each) => ohms(each.ohms)));
      if (known.length !== speakers.length || !together.ok) continue;
      const by = [...new Set(known.map((each) => each.by).filter((each) => each !== ''))].join(', ');
      loads.push({ transformer, speakers, tap, load: together.value, by });
    }
  }
  return loads;
}

/** By what its voice coil reads, which beats the label; else as marked. */
function nominalOf(speaker: FittedPart): { readonly ohms: number; readonly by: string } | undefined {
  const marked = speaker.impedance?.quantity.value;
  const coil = speaker.measured.findLast(
    ({ quantity, special }) => quantity === 'resistance' && special === undefined,
  );
  const read = coil?.value.quantity.value;
  const nominal = read === undefined || !(read > 0) ? undefined : findNominalImpedance(ohms(read));
  if (nominal !== undefined && nominal !== marked)
    return { ohms: nominal, by: `${speaker.ref} is ${nominal} Ω by its voice coil’s ${read} Ω` };
  return marked === undefined || !(marked > 0) ? undefined : { ohms: marked, by: '' };
}
