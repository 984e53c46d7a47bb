/** Owns the rule open-load: an amplifier that was driven, or run, with nothing on its output. */

import { allInRole, partsOfClass } from '../bench/by-class.ts';
import type { BenchReading, PhaseView } from '../bench/model.ts';
import type { Condition } from '../dialect/tree.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { readingsThat } from './readings-that.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const openLoad = defineRule({
  id: 'open-load',
  since: '0.1.0',
  category: 'ratings',
  severities: 'E',
  summary: 'The amplifier was driven with no load on its output.',
  why: 'With its secondary open an output transformer has no load to hold its volts down: the first hard transient arcs over in its winding or in the valve’s base. An open voice coil does the same on stage.',
  howToFix:
    'Put the rated load on before the amplifier is driven: a dummy load of the tap’s impedance and enough watts, or a loudspeaker that reads about three quarters of its marking with an ohmmeter.',
  source: 'common practice, no source',
  options: {},
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 8k : 8R 18W, V5.a V6.a, ct B+1, LS1 on 8R\n- LS1 = 8R 30W\n- LS1: open\n- B+1: 352 V\n',
    names: 'LS1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- T2 = output 8k : 8R 18W, V5.a V6.a, ct B+1, LS1 on 8R\n- LS1 = 8R 30W\n- LS1: 6.3R\n\ndummy 8R:\n\n- B+1: 352 V\n',
  },
  check: (context) =>
    context.verdictViews.flatMap((view) => [...driven(context, view), ...openSpeakers(context, view)]),
});

/** Sets that say `no load` and a signal. */
function driven({ sheet }: RuleContext, view: PhaseView): readonly Report[] {
  const reports: Report[] = [];
  const seen = new Set<string>();
  for (const reading of readingsThat(view, 'without a load', isUnloaded)) {
    const conditions = conditionsOf(reading);
    const unloaded = conditions.find(({ kind }) => kind === 'no-load');
    const signal = conditions.find(({ kind }) => kind === 'signal' || kind === 'clipping');
    if (unloaded === undefined || signal === undefined || !isLive(reading)) continue;
    // With valves out or in standby nothing drives the output.
    if (conditions.some(({ kind }) => kind === 'out' || kind === 'in-standby')) continue;
    const subject = outputOf(view);
    if (seen.has(subject)) continue;
    seen.add(subject);
    reports.push({
      severity: 'error',
      subject,
      phase: view.phase,
      set: reading.set,
      tellsPhase: true,
      message: `the amplifier was driven (${signal.words}) with no load on ${subject}. Put the rated load on before any signal: an open secondary arcs.`,
      source: { file: sheet.uri, span: unloaded.span },
    });
  }
  return reports;
}

/** A voice coil read open while the amplifier ran into it. */
function openSpeakers({ sheet }: RuleContext, view: PhaseView): readonly Report[] {
  const reports: Report[] = [];
  for (const part of partsOfClass(view, 'loudspeaker')) {
    const coil = part.measured.findLast(({ quantity }) => quantity === 'resistance');
    if (coil?.special !== 'open' || coil.source.file !== sheet.uri) continue;
    if (!lookUpIn(view, 'whether it ran into its load', hasRun)) return reports;
    // With another loudspeaker beside it the output has a load, though not the right one.
    if (hasCompanion(view, part.ref)) continue;
    reports.push({
      severity: 'error',
      subject: part.ref,
      phase: view.phase,
      tellsPhase: true,
      message: `${part.ref} reads open, and the amplifier ran with no dummy load written: its output had no load. Put a dummy load of the tap’s impedance on before it is driven again.`,
      source: coil.source,
      explains: [{ rule: 'coil-open', subject: part.ref }],
    });
  }
  return reports;
}

function hasCompanion(view: PhaseView, ref: string): boolean {
  return partsOfClass(view, 'loudspeaker').some((part) => part.ref !== ref);
}

function isUnloaded(reading: BenchReading): boolean {
  return conditionsOf(reading).some(({ kind }) => kind === 'no-load');
}

function hasRun({ readings }: PhaseView): boolean {
  return readings.some(
    (reading) =>
      isLive(reading) &&
      (reading.quantity === 'voltage' || reading.quantity === 'current' || reading.quantity === 'ripple') &&
      !conditionsOf(reading).some(({ kind }) => kind === 'dummy-load' || kind === 'no-load'),
  );
}

function conditionsOf({ set, conditions }: BenchReading): readonly Condition[] {
  return [...set.conditions, ...conditions];
}

/** Read with full mains on: not off, not behind a lamp limiter. */
function isLive({ set, nominal }: BenchReading): boolean {
  return !set.off && !set.limited && !nominal && set.id !== 0;
}

function outputOf(view: PhaseView): string {
  const outputs = allInRole(view, 'output-transformer');
  const [only] = outputs;
  return only !== undefined && outputs.length === 1 ? only.ref : 'output';
}
