/** Owns the rule contradictory-readings: readings that cannot all be true of the parts as marked. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { currentThrough, type Estimate, gapBetween, ohmsOf, voltsAcross } from './intervals.ts';
import { showValue, when } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { offNominalOf } from './valve-circuit.ts';
import { findOnPart } from './voltages.ts';

export const contradictoryReadings = defineRule({
  id: 'contradictory-readings',
  since: '0.1.0',
  category: 'readings',
  severities: 'W >5 %, E >20 % beyond what tolerance, meter and rounding explain',
  summary: 'Readings of one part, or of the two ends of a valve, cannot all be true.',
  why: 'What flows into a valve’s anode (and screen) comes out of its cathode, and volts, amperes and ohms of one part obey Ohm’s law. Where they do not, a part has drifted from its marking, a reading was taken somewhere else, or a digit slipped. Every conclusion drawn from them is worth nothing until that is settled.',
  howToFix:
    'Switch off, discharge, and measure the resistors named in the message; then take the readings again at the points named.',
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
  *check(context) {
    for (const view of context.verdictViews) {
      for (const part of view.parts.values()) {
        const report =
          part.class === 'valve' ? checkValve(context, view, part) : checkPart(context, view, part);
        if (report !== undefined) yield report;
      }
    }
  },
});

/** Volts across, amperes through and ohms of one resistor. */
function checkPart(context: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  if (part.class !== 'resistor') return undefined;
  const through = findOnPart(view, part.ref, 'current');
  const computed = currentThrough(view, part);
  const across = voltsAcross(view, part);
  if (through === undefined || computed === undefined || across === undefined) return undefined;
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
    message: `${when(view)}, ${showValue(across.middle, 'V')} across ${part.ref} and ${showValue(middle, 'A')} through it make ${showValue(implied, 'Ohm')}; it is marked ${showValue(ohmsOf(part)?.middle ?? 0, 'Ohm')}. Measure ${part.ref}, power off, and take the two readings again.`,
    source: through.source,
    figures: { implied: { value: implied, unit: 'Ohm' } },
    related: across.readings
      .filter(({ source }) => source.file === context.sheet.uri)
      .map(({ at, source }) => ({ subject: at, message: 'the volts', source })),
  };
}

/** What enters a valve at the anode (and screen) against what leaves it at the cathode. */
function checkValve(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  const load = findServing(view, valve.ref, 'anode-load');
  const cathode = findServing(view, valve.ref, 'cathode-resistor');
  if (load === undefined || cathode === undefined) return undefined;
  const into = currentThrough(view, load);
  const outOf = currentThrough(view, cathode);
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
    message: `${when(view)}, ${load.ref} puts ${showValue(into.middle, 'A')} into the anode of ${valve.ref} and ${cathode.ref} takes ${showValue(outOf.middle, 'A')} out of its cathode.${wouldBe} Measure ${suspect.ref}${isLoadSure || isCathodeSure ? '' : ` and ${other.ref}`}, power off; if ${isLoadSure || isCathodeSure ? 'it is' : 'both are'} right, a reading was taken at another point.`,
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
      .map(({ at, source: place }) => ({ subject: at, message: 'the other reading', source: place })),
  };
}

const servingOf = new WeakMap<PhaseView, ReadonlyMap<string, string>>();

/** The part of a role that serves this valve alone: of a shared one only the sum is known. */
function findServing(
  view: PhaseView,
  valve: string,
  role: 'anode-load' | 'cathode-resistor',
): FittedPart | undefined {
  let serving = servingOf.get(view);
  if (serving === undefined) {
    const alone = [...view.roles.values()].filter(({ serves }) => serves.length === 1);
    serving = new Map(alone.map((each) => [`${each.role} ${each.serves[0]}`, each.ref]));
    servingOf.set(view, serving);
  }
  return view.parts.get(serving.get(`${role} ${valve}`) ?? '');
}

function severityOfGap({ option }: RuleContext, gap: number): 'error' | 'warning' | undefined {
  if (gap > option('error')) return 'error';
  return gap > option('warning') ? 'warning' : undefined;
}
