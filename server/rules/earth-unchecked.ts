/** Owns the rule earth-unchecked: the mains side was worked on and no earth continuity was read afterwards. */
import type { PartChange } from '../bench/model.ts';
import { isEarthReading } from './mains-safety.ts';
import { isMainsSide } from './mains-side.ts';
import { linesToFillIn } from './new-lines.ts';
import { show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { isReturned, partOf, workDone } from './work-done.ts';

export const earthUnchecked = defineRule({
  id: 'earth-unchecked',
  since: '0.1.0',
  category: 'record',
  severities: 'I, once a returned sheet',
  summary: 'The mains side was worked on and no earth continuity was read afterwards.',
  why: 'The earth is what blows the fuse when the mains reaches the chassis. A lead that was moved, a transformer that was out or a screw that was not done up leave an amplifier that plays well and has no earth.',
  howToFix:
    'Measure from the earth pin of the plug to bare chassis after the work, and write it under As left: `- earth to chassis: 0.1R`. What else has to be tested before it goes back, local codes decide. Where the amplifier has no earth by design, accept the finding with that reason.',
  source: 'common practice, no source; local codes decide',
  options: {},
  bad: {
    sheet:
      '---\nreturned: 2026-03-06\n---\n# Job\n\n## As found\n\n- earth to chassis: 0.1R\n\n## Work\n\n- F1 = T1A -> T1A\n',
    names: 'F1',
  },
  good: {
    sheet:
      '---\nreturned: 2026-03-06\n---\n# Job\n\n## Work\n\n- F1 = T1A -> T1A\n\n## As left\n\n- earth to chassis: 0.1R\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { amplifier, sheet } = context;
    if (!isReturned(sheet)) return reports;
    const readings = amplifier.phases
      .flatMap((view) => view.readings)
      .filter((reading) => isEarthReading(reading) && reading.source.file === sheet.uri);
    if (readings.some(({ phase }) => phase !== 'as-found')) return reports;
    const [before] = readings;
    const touched = mainsSideWork(context);
    const [first, ...others] = touched;
    if (first === undefined) return reports;
    const what = [...new Set(touched.map(({ ref }) => ref))].join(', ');
    reports.push({
      severity: 'info',
      subject: first.ref,
      message: `${what} on the mains side was worked on, and no earth continuity is recorded after it${before === undefined ? '' : ` (as found it read ${show(before.value.quantity)})`}. Measure from the earth pin of the plug to bare chassis and write it under As left, “earth to chassis: 0.1R”; local codes decide what else is to be tested.`,
      source: first.source,
      related: others.map(({ ref, source }) => ({ subject: ref, message: 'worked on too.', source })),
    });
    return reports;
  },
  fix: ({ sheet }) =>
    linesToFillIn(sheet, ['- earth to chassis: ?'], 'Add the earth reading as a line to fill in'),
});

function mainsSideWork({ amplifier }: RuleContext): readonly PartChange[] {
  const roles = amplifier.phases.at(-1)?.roles;
  return workDone(amplifier).filter((change) => {
    const part = partOf(change, amplifier);
    return part !== undefined && isMainsSide(part, roles?.get(part.ref)?.role ?? 'unknown');
  });
}
