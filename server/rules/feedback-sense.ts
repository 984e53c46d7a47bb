/** Owns the rule feedback-sense: an output transformer was changed and nobody wrote that the feedback still opposes. */
import { allInRole } from '../bench/by-class.ts';
import type { PhaseView } from '../bench/model.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const feedbackSense = defineRule({
  id: 'feedback-sense',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'The output transformer was changed and the feedback loop not checked again.',
  why: 'Feedback from the secondary works only with the leads one way round. The other way it adds instead of opposing, and the amplifier howls at full power into the loudspeaker the moment it is switched on.',
  howToFix:
    'Before the first power, lift the feedback resistor or stand ready at the switch, with a dummy load on. With a small signal the output must fall when the loop is closed; if it rises or howls, exchange the two anode leads. Write what the output read.',
  source: 'negative feedback as defined; common practice, no source',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 3k4 : 4R 8R 50W, V5.a V6.a, ct B+1, LS1 on 8R\n- R14 = 47k, T2.8R to fb\n- R13 = 1k, fb to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- T2 -> output 3k5 : 4R 8R 50W\n\n## As left\n\n- B+1: 400 V\n',
    names: 'T2',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 3k4 : 4R 8R 50W, V5.a V6.a, ct B+1, LS1 on 8R\n- R14 = 47k, T2.8R to fb\n- R13 = 1k, fb to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- T2 -> output 3k5 : 4R 8R 50W\n\n## As left\n\n- B+1: 400 V\n- LS1: 9 Vrms at 1 kHz\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { amplifier, sheet } = context;
    const asLeft = amplifier.phases.find(({ phase }) => phase === 'as-left');
    // While the work goes on, the check is still to come.
    if (asLeft === undefined) return reports;
    for (const change of amplifier.changes) {
      const { ref, planned, work, source } = change;
      if (planned || work === 'same' || source.file !== sheet.uri) continue;
      if (asLeft.roles.get(ref)?.role !== 'output-transformer') continue;
      const loop = feedbackFrom(asLeft, ref);
      if (loop === undefined) continue;
      if (hasSignal(asLeft, context)) break;
      reports.push({
        severity: 'warning',
        subject: ref,
        phase: 'as-left',
        message: `${ref} was changed and ${loop} feeds back from it, but as left no output under signal is written: at least one reading belongs there (common practice). With the leads the wrong way round it howls at full power. Check with a dummy load that closing the loop lowers the output, and write what it reads.`,
        source,
      });
      return reports;
    }
    return reports;
  },
});

/** A reading of the loudspeaker, or any taken under signal, shows that somebody listened. */
function hasSignal(view: PhaseView, { sheet }: RuleContext): boolean {
  return view.readings.some(
    (reading) =>
      reading.source.file === sheet.uri &&
      (/^LS\d/.test(reading.at) ||
        [...reading.set.conditions, ...reading.conditions].some(
          ({ kind }) => kind === 'signal' || kind === 'clipping',
        )),
  );
}

/** The feedback part that comes from a tap of this transformer or from its loudspeaker. */
function feedbackFrom(view: PhaseView, transformer: string): string | undefined {
  const taps = new Set([...(view.parts.get(transformer)?.terminals.values() ?? [])]);
  for (const { ref } of allInRole(view, 'feedback')) {
    const ends = [...(view.parts.get(ref)?.terminals.values() ?? [])];
    if (ends.some((end) => taps.has(end) || end.startsWith(`${transformer}.`))) return ref;
  }
  return undefined;
}
