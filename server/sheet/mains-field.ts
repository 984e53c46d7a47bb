/** Owns the mains of a front matter (`mains: 230 V 50 Hz`): its volts, and what to ask where several are written. */
import type { WritingProblem } from '../dialect/tree.ts';
import type { Span } from '../text/span.ts';

/** `100/120/230/240 V`, `230-240 V`, `115 or 230 V`: the volts in the order written; hertz and other numbers are none. */
export function mainsVoltsIn(written: string): readonly number[] {
  const withoutHertz = written.replace(/\d+(?:\.\d+)?(?:\s*[/,-]\s*\d+)*\s*Hz/gi, '');
  return (withoutHertz.match(/\d+(?:\.\d+)?/g) ?? [])
    .map(Number)
    .filter((volts) => volts >= 90 && volts <= 500);
}

/** The one that is written; of several nobody says which the amplifier is set to. */
export function nominalMains(written: string | undefined): number | undefined {
  const volts = mainsVoltsIn(written ?? '');
  return volts.length === 1 ? volts[0] : undefined;
}

/** Asks which of several it is. */
export function askMains({
  text,
  span,
}: {
  readonly text: string;
  readonly span: Span;
}): WritingProblem | undefined {
  const all = mainsVoltsIn(text);
  if (all.length < 2) return undefined;
  return {
    kind: 'value-ambiguous',
    span,
    message: `“${text}” names ${all.length} mains voltages and not the one that the amplifier is set to, so that nothing is compared with its nominal mains. Write that one, and the others in a sentence`,
    offers: all.map((volts) => ({
      saying: `set to ${volts} V`,
      edit: { span, text: `${volts} V ${volts > 105 && volts <= 130 ? 60 : 50} Hz` },
    })),
  };
}
