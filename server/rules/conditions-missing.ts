/** Owns the rule conditions-missing: a chart before and one after are compared, and the mains of one is not written. */

import type { BenchReading, PhaseView } from '../bench/model.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { paragraphAtStart } from './new-lines.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { isReturned } from './work-done.ts';

/** Fewer points than this are a glance, not a chart. */
const CHART = 2;

export const conditionsMissing = defineRule({
  id: 'conditions-missing',
  since: '0.1.0',
  category: 'record',
  severities: 'H',
  summary: 'Of two charts that are compared, one does not say the mains voltage.',
  why: 'Every voltage of the amplifier goes with the mains: 5 % at the wall is 5 % at every node. Without it nobody can tell what the work changed from what the wall did.',
  howToFix:
    'Write the mains as it was at that chart, `Mains {mains: 233 V}`, in front of it. If it was not read, the comparison stays open: say so there.',
  source: 'common practice, no source',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5: a 331, k 19.4\n\n## As left\n\nMains {mains: 233 V}.\n\n- V5: a 334, k 19.6\n',
    names: 'mains',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\nMains {mains: 231 V}.\n\n- V5: a 331, k 19.4\n\n## As left\n\nMains {mains: 233 V}.\n\n- V5: a 334, k 19.6\n',
  },
  check({ amplifier, sheet }) {
    const reports: Report[] = [];
    if (sheet.kind !== 'job') return reports;
    const charts = (['as-found', 'as-left'] as const).map((phase) =>
      chartOf(amplifier.phases.find((view) => view.phase === phase)),
    );
    const [found, left] = charts;
    if (found === undefined || left === undefined) return reports;
    if ((found.mains === undefined) === (left.mains === undefined)) return reports;
    const [lacking, other] = found.mains === undefined ? [found, left] : [left, found];
    // What is still being written as left may be about to say it.
    if (lacking === left && !isReturned(sheet)) return reports;
    reports.push({
      severity: 'hint',
      subject: 'mains',
      phase: lacking.first.phase,
      set: lacking.first.set,
      message: `The chart ${lacking === found ? 'as found' : 'as left'} does not say at what mains it was read; the one ${lacking === found ? 'as left' : 'as found'} was at ${showValue(other.mains ?? 0, 'V')}. Write it in front of the chart, “mains: 233 V”, or what the work changed cannot be told from what the mains did.`,
      source: lacking.first.source,
    });
    return reports;
  },
  fix: ({ sheet }, finding) => {
    const at = finding.source.span.start;
    const section = sheet.sections.findLast(({ headingSpan }) => headingSpan.start <= at);
    const line = 'Mains {mains: ? V}.';
    const isThere =
      section !== undefined &&
      sheet.snapshot.text.slice(section.bodySpan.start, section.bodySpan.end).includes(line);
    if (section === undefined || isThere) return [];
    return [
      {
        title: 'Add the mains as a line to fill in',
        safety: 'suggestion',
        edits: [paragraphAtStart(sheet, section, line)],
      },
    ];
  },
});

interface Chart {
  readonly first: BenchReading;
  readonly mains: number | undefined;
}

/** The direct volts that a phase is judged by, where they are enough to be compared. */
function chartOf(view: PhaseView | undefined): Chart | undefined {
  const set = view?.verdictSet;
  if (view === undefined || set === undefined) return undefined;
  const [first] = lookUpIn(view, 'first of a chart', beginningOfChart);
  return first && { first, mains: set.mains?.value };
}

/** The first of the direct volts of the verdict set, where they are enough for a chart; a list for whoever looks whether it is the same. */
function beginningOfChart({ readings, verdictSet }: PhaseView): readonly BenchReading[] {
  const chart: BenchReading[] = [];
  for (const reading of readings) {
    if (reading.set.id !== verdictSet?.id || reading.quantity !== 'voltage' || reading.nominal) continue;
    chart.push(reading);
    if (chart.length === CHART) return chart.slice(0, 1);
  }
  return [];
}
