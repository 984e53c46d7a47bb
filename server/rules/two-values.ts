/** Owns the rule two-values: one part that two lines of the same phase fit differently. */
import { lineAt } from '../text/snapshot.ts';
import { defineRule, type Report } from './rule.ts';
import { contradictionsRound } from './valve-circuit.ts';

export const twoValues = defineRule({
  id: 'two-values',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'One part has two values in the same phase.',
  why: 'Only one of them can be soldered in. The later line counts in the arithmetic, which is a guess about which one was meant.',
  howToFix: 'Delete the wrong one. If the part was changed, write it as `was -> is` under Work.',
  source: 'grammar/dialect.md',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n- R17 = 330R 5W\n', names: 'R17' },
  good: {
    sheet: '# Job\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n\n## Work\n\n- R17 = 470R 5W -> 330R 5W\n',
  },
  check({ amplifier, sheet, verdictViews }) {
    const reports: Report[] = [];
    for (const { ref, phase, first, second } of amplifier.repeats) {
      if (second.file !== sheet.uri) continue;
      const view = verdictViews.find((each) => each.phase === phase);
      const written = (at: typeof first) =>
        sheet.snapshot.text.slice(at.span.start, at.span.end).replace(/\s+/g, ' ');
      const said = `${ref} is fitted twice and differently: here “${written(second)}”, on line ${lineAt(sheet.snapshot, first.span.start) + 1} “${written(first)}”. This later line counts. Delete the wrong one, or write a change as “was -> is”.`;
      reports.push({
        severity: 'warning',
        subject: ref,
        phase,
        ...(view === undefined ? { message: `In one phase, ${said}` } : { tellsPhase: true, message: said }),
        source: second,
        related: [{ subject: ref, message: 'fitted here too.', source: first }],
        // The arithmetic goes by the later value, which may be the wrong one.
        explains: view === undefined ? [] : contradictionsRound(view, ref),
      });
    }
    return reports;
  },
});
