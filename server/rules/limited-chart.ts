/** Owns the rule limited-chart: a chart taken behind a lamp limiter that stands beside nominal voltages. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { nominalAt } from './nominal.ts';
import { defineRule, type Report } from './rule.ts';

export const limitedChart = defineRule({
  id: 'limited-chart',
  since: '0.1.0',
  category: 'readings',
  severities: 'I',
  summary: 'Voltages read behind a lamp limiter (or a low variac) stand beside nominal ones.',
  why: 'Behind a lamp every voltage is low, by how much depends on the lamp and the load. Such a chart says that nothing burns; held against the nominal one it accuses healthy parts. Nothing here is compared with it.',
  howToFix:
    'Take the chart again on full mains when the amplifier may have it, and write the mains beside it.',
  source: 'common practice, no source',
  options: {
    least: { default: 2, unit: '1', means: 'readings with a nominal that make a chart' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\nlamp 60 W:\n\n| Point | Found | Nominal |\n| ----- | ----- | ------- |\n| B+1   | 96    | 334     |\n| B+2   | 94    | 331     |\n',
    names: 'B+1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\nMains {mains: 230 V}.\n\n| Point | Found | Nominal |\n| ----- | ----- | ------- |\n| B+1   | 333   | 334     |\n| B+2   | 331   | 331     |\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      // On the way to full mains a lamp is what one starts with; a chart follows.
      if (view.verdictSet !== undefined) continue;
      const limited = view.readings.filter(
        (reading) =>
          isLimitedVolts(reading, context.sheet.uri) && nominalAt(context, view, reading.at) !== undefined,
      );
      const [first] = limited;
      if (first === undefined || limited.length < context.option('least')) continue;
      reports.push({
        severity: 'info',
        subject: first.at,
        phase: view.phase,
        set: first.set,
        tellsPhase: true,
        message: `${limited.length} voltages (${namesOf(limited)}) were read behind a limiter and have a nominal beside them: they are low by what the limiter takes, whose limit depends on its lamp (common practice), and are not compared. Take the chart again on full mains.`,
        source: first.source,
        figures: { readings: { value: limited.length, unit: '1' } },
      });
    }
    return reports;
  },
});

function isLimitedVolts(reading: BenchReading, file: string): boolean {
  const { quantity, node, to, set, source, nominal } = reading;
  return (
    quantity === 'voltage' &&
    node !== undefined &&
    to === undefined &&
    set.limited &&
    !nominal &&
    source.file === file
  );
}

function namesOf(readings: PhaseView['readings']): string {
  const names = [...new Set(readings.map(({ at }) => at))];
  return names.length > 4 ? `${names.slice(0, 4).join(', ')} …` : names.join(', ');
}
