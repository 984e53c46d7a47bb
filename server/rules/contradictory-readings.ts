/** Owns the rule contradictory-readings: readings that cannot all be true of the parts as marked. */
import { type CurrentConflict, findConsistency } from '../bench/consistency.ts';
import { endsOf } from '../bench/look.ts';
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { isSupplyRail } from '../bench/points.ts';
import { lookUpIn } from '../sheet/watching.ts';
import { currentThrough, type Estimate, gapBetween, ohmsOf, voltsAcross } from './intervals.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { momentOf, offNominalOf, partsServing } from './valve-circuit.ts';
import { findOnPart } from './voltages.ts';

export const contradictoryReadings = defineRule({
  id: 'contradictory-readings',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >5 %, E >20 % beyond what tolerance, meter and rounding explain',
  summary:
    'Readings of one part, of the two ends of a valve, or of all that meets at a node cannot all be true.',
  why: 'What flows into a valve’s anode (and screen) comes out of its cathode, and volts, amperes and ohms of one part obey Ohm’s law, and what flows into a node flows out of it. Where they do not, a part has drifted from its marking, a reading was taken somewhere else, or a digit slipped. Every conclusion drawn from them is worth nothing until that is settled.',
  howToFix:
    'Switch off, discharge, and measure the resistors named in the message; then take the readings again at the points named. Where more flows into a node than the sheet takes out of it, look for a load that nobody wrote down, a leaking capacitor for instance.',
  source: 'Ohm’s and Kirchhoff’s laws; tolerance as marked on the parts or customary for their kind',
  options: {
    warning: { default: 0.05, unit: '1', means: 'gap beyond tolerances that is a warning' },
    error: { default: 0.2, unit: '1', means: 'gap that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k 5%\n- R5 = 1k5 5%\n- B+3: 278 V\n- V1A: a 142, k 1.18\n',
    names: 'R4',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k 5%\n- R5 = 1k5 5%\n- B+3: 278 V\n- V1A: a 181, k 1.45\n',
  },
  check(context) {
    const reports: Report[] = [];
    const ofParts = context.eachPart(checkOne, 'resistor', 'valve');
    for (const view of context.verdictViews) {
      const told = new Set<string>();
      for (const { part, report } of ofParts) {
        if (report.phase !== view.phase) continue;
        told.add(report.subject).add(part);
        reports.push(report);
      }
      for (const conflict of lookUpIn(view, 'conflicts', conflictsIn)) {
        // The same wrong number shows at the node as well.
        if (conflict.terms.some(({ subject }) => told.has(subject))) continue;
        const report = checkNode(context, view, conflict);
        if (report === undefined) continue;
        told.add(report.subject);
        reports.push(report);
      }
    }
    return reports;
  },
});

/** With the part that was looked at, which need not be the one that the report names. */
function checkOne(context: RuleContext, view: PhaseView, part: FittedPart) {
  const report = part.class === 'valve' ? checkValve(context, view, part) : checkPart(context, view, part);
  return report && { part: part.ref, report };
}

function conflictsIn(view: PhaseView): readonly CurrentConflict[] {
  return findConsistency(view).conflicts;
}

/** Findings that leave nothing to wonder at in a sum: of a part or point that takes part in it. */
const CAUSES: readonly string[] = [
  'bottomed',
  'cathode-high',
  'cathode-low',
  'gassy-valve',
  'impossible-reading',
  'insulation-low',
  'leaky-coupling',
  'no-bias',
  'no-conduction',
  'screen-open',
  'two-values',
  'unit-slip',
  'value-out-of-tolerance',
  'wrong-point',
];

/** What flows into a node, and into a cathode that several valves share, against what flows out of it. */
function checkNode(context: RuleContext, view: PhaseView, conflict: CurrentConflict): Report | undefined {
  const { node, into, outOf, terms, mayBeUnwritten } = conflict;
  const gravity = severityOfGap(context, conflict.gap);
  const readings = terms
    .flatMap((term) => term.readings)
    .filter(({ source }) => source.file === context.sheet.uri);
  const first = readings.find((reading) => reading.node === node) ?? readings[0];
  // A sheet need not show every load: only a gap that is an error otherwise is worth a word then. But no load kills a rail.
  const ifUnwritten = isDeadRail(node, readings) ? 'warning' : 'info';
  const severity = !mayBeUnwritten ? gravity : gravity === 'error' ? ifUnwritten : undefined;
  if (severity === undefined || first === undefined) return undefined;
  const suspect = conflict.suspicions.find(({ isMeasured }) => !isMeasured);
  const list = (sign: 1 | -1): string =>
    terms
      .filter(({ middle }) => middle * sign > 0)
      .map(({ subject, middle }) => `${subject} ${showValue(Math.abs(middle), 'A')}`)
      .join(', ');
  const wouldBe =
    suspect === undefined
      ? ''
      : ` For all to be true ${suspect.ref} would have to be ${showValue(suspect.implied, 'Ohm')} instead of ${showValue(suspect.marked, 'Ohm')}.`;
  const otherwise = `a reading was taken at another point${mayBeUnwritten ? `, or something at ${node} draws current that the sheet does not show` : ''}`;
  const advice =
    suspect === undefined
      ? `Take the readings again: ${otherwise}.`
      : `Measure ${suspect.ref}, power off; if it is right, ${otherwise}.`;
  const places = new Map(readings.map((reading) => [reading.source.span.start, reading]));
  places.delete(first.source.span.start);
  return {
    severity,
    subject: suspect?.ref ?? node,
    ...momentOf(view),
    tellsPhase: true,
    message: `${showValue(into.middle, 'A')} flows into ${node} (${list(1)}) and ${showValue(outOf.middle, 'A')} out of it (${list(-1)}).${wouldBe} ${advice}`,
    source: first.source,
    figures: {
      'current-in': { value: into.middle, unit: 'A' },
      'current-out': { value: outOf.middle, unit: 'A' },
      ...(suspect === undefined ? {} : { implied: { value: suspect.implied, unit: 'Ohm' as const } }),
    },
    consequenceOf: participants(view, conflict).flatMap((subject) =>
      CAUSES.map((rule) => ({ rule, subject })),
    ),
    related: [...places.values()].map((reading) => ({
      subject: reading.at,
      message: `${sayReading(reading)}, so ${carriedBy(conflict, reading)}.`,
      source: reading.source,
    })),
  };
}

/** `read 301 V`. */
function sayReading({ value: { quantity } }: BenchReading): string {
  return `read ${showValue(quantity.value, quantity.unit)}`;
}

/** What a reading makes of the sum: `R23 puts 1.03 mA into B+3 and R24 takes 1.77 mA out of it`. */
function carriedBy({ node, terms }: CurrentConflict, { source }: BenchReading): string {
  const own = terms.filter(({ readings }) => readings.some((each) => each.source === source));
  const said = own.map(({ subject, middle }, i) => {
    const way = middle > 0 ? 'into' : 'out of';
    const place = i === 0 ? node : 'it';
    return `${subject} ${middle > 0 ? 'puts' : 'takes'} ${showValue(Math.abs(middle), 'A')} ${way} ${place}`;
  });
  return said.join(' and ');
}

/** A rail next to nothing beside what feeds it: an open or a short, whatever hangs on it. */
const DEAD = 0.1;

function isDeadRail(node: string, readings: readonly BenchReading[]): boolean {
  if (!isSupplyRail(node)) return false;
  const volts = readings.filter(({ quantity }) => quantity === 'voltage');
  const own = volts.find((reading) => reading.node === node)?.value.quantity.value;
  const highest = Math.max(...volts.map(({ value }) => value.quantity.value));
  return own !== undefined && own < DEAD * highest;
}

/** Everything whose fault would upset the sum: who takes part, where it was read, and what hangs at either end of it. */
function participants(view: PhaseView, { node, terms }: CurrentConflict): readonly string[] {
  const nodes = new Set([node]);
  const refs = new Set<string>();
  for (const { subject, readings } of terms) {
    refs.add(subject);
    for (const valve of view.roles.get(subject)?.serves ?? []) refs.add(valve);
    for (const reading of readings) nodes.add(reading.node ?? reading.at);
    const part = view.parts.get(subject);
    for (const end of (part && endsOf(part)) ?? []) if (end !== 'gnd') nodes.add(end);
  }
  for (const each of nodes) for (const { ref } of view.circuit.attached(each)) refs.add(ref);
  return [...nodes, ...refs];
}

/** Volts across, amperes through and ohms of one resistor. */
function checkPart(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const through = findOnPart(view, part.ref, 'current');
  if (through === undefined) return undefined;
  const computed = currentThrough(view, part);
  const across = voltsAcross(view, part);
  if (computed === undefined || across === undefined) return undefined;
  const middle = Math.abs(through.value.quantity.value);
  const read: Estimate = {
    middle,
    band: { low: Math.max(0, middle - through.uncertainty), high: middle + through.uncertainty },
    readings: [through],
  };
  const severity = severityOfGap(context, gapBetween(read, computed));
  if (severity === undefined || middle === 0) return undefined;
  const implied = across.middle / middle;
  return {
    severity,
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `${showValue(across.middle, 'V')} across ${part.ref} and ${showValue(middle, 'A')} through it make ${showValue(implied, 'Ohm')}; it is marked ${showValue(ohmsOf(part)?.middle ?? 0, 'Ohm')}. Measure ${part.ref}, power off, and take the two readings again.`,
    source: through.source,
    figures: { implied: { value: implied, unit: 'Ohm' } },
    related: across.readings
      .filter(({ source }) => source.file === context.sheet.uri)
      .map((reading) => ({
        subject: reading.at,
        message: `${sayReading(reading)}, by which ${showValue(across.middle, 'V')} stand across ${part.ref}.`,
        source: reading.source,
      })),
  };
}

/** What enters a valve at the anode (and screen) against what leaves it at the cathode. */
function checkValve(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  const load = findServing(view, valve.ref, 'anode-load');
  const cathode = findServing(view, valve.ref, 'cathode-resistor');
  if (load === undefined || cathode === undefined) return undefined;
  const into = currentThrough(view, load);
  const outOf = into && currentThrough(view, cathode);
  if (into === undefined || outOf === undefined) return undefined;
  const hasScreen = valve.type?.valve?.kind === 'pentode' || valve.type?.valve?.kind === 'beam-tetrode';
  // A screen takes its share out of the cathode current; unless it is known, only too much anode current contradicts.
  if (hasScreen && into.middle < outOf.middle) return undefined;
  const severity = severityOfGap(context, gapBetween(into, outOf));
  if (severity === undefined) return undefined;
  const isLoadSure = ohmsOf(load)?.isMeasured === true;
  const isCathodeSure = ohmsOf(cathode)?.isMeasured === true;
  const [suspect, other] = isLoadSure && !isCathodeSure ? [cathode, load] : [load, cathode];
  const own = suspect === load ? into : outOf;
  const theirs = suspect === load ? outOf : into;
  const drop = voltsAcross(view, suspect);
  const implied = drop === undefined || theirs.middle === 0 ? undefined : drop.middle / theirs.middle;
  const marked = ohmsOf(suspect)?.middle;
  const wouldBe =
    implied === undefined || marked === undefined
      ? ''
      : ` For both to be true ${suspect.ref} would have to be ${showValue(implied, 'Ohm')} instead of ${showValue(marked, 'Ohm')}.`;
  const source = own.readings.find((reading) => reading.source.file === context.sheet.uri)?.source;
  if (source === undefined) return undefined;
  return {
    severity,
    subject: suspect.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `${load.ref} puts ${showValue(into.middle, 'A')} into the anode of ${valve.ref} and ${cathode.ref} takes ${showValue(outOf.middle, 'A')} out of its cathode${sayMeter(into)}.${wouldBe} Measure ${suspect.ref}${isLoadSure || isCathodeSure ? '' : ` and ${other.ref}`}, power off; if ${isLoadSure || isCathodeSure ? 'it is' : 'both are'} right, a reading was taken at another point.`,
    source,
    figures: {
      'anode-current': { value: into.middle, unit: 'A' },
      'cathode-current': { value: outOf.middle, unit: 'A' },
      ...(implied === undefined ? {} : { implied: { value: implied, unit: 'Ohm' as const } }),
    },
    explains: [
      ...offNominalOf(valve.ref),
      { rule: 'bottomed', subject: valve.ref },
      { rule: 'cathode-high', subject: valve.ref },
    ],
    related: [...theirs.readings]
      .filter((reading) => reading.source.file === context.sheet.uri)
      .map((reading) => ({
        subject: reading.at,
        message: `${sayReading(reading)}, so ${
          suspect === load
            ? `${cathode.ref} takes ${showValue(outOf.middle, 'A')} out of the cathode`
            : `${load.ref} puts ${showValue(into.middle, 'A')} into the anode`
        } of ${valve.ref}.`,
        source: reading.source,
      })),
  };
}

/** Where the meter on a high resistance may have taken a good part of what is reckoned. */
function sayMeter({ byMeter = 0, middle }: Estimate): string {
  const share = middle > 0 ? byMeter / middle : 0;
  return share < WORTH_SAYING
    ? ''
    : `, the ${showValue(byMeter, 'A')} counted that the meter itself may have taken at the anode`;
}

/** A share of the current that is worth a word. */
const WORTH_SAYING = 0.03;

/** The part of a role that serves this valve alone: of a shared one only the sum is known. */
function findServing(
  view: PhaseView,
  valve: string,
  role: 'anode-load' | 'cathode-resistor',
): FittedPart | undefined {
  return partsServing(view, valve, role).findLast(({ ref }) => view.roles.get(ref)?.serves.length === 1);
}

function severityOfGap({ option }: RuleContext, gap: number): 'error' | 'warning' | undefined {
  if (gap > option('error')) return 'error';
  return gap > option('warning') ? 'warning' : undefined;
}
