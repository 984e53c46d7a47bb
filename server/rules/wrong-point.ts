/** Owns the rule wrong-point: a reading that asks for more current than everything behind it can take. */
import { allInRole } from '../bench/by-class.ts';
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { currentThrough } from './intervals.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';
import { contradictionsRound, farEnd } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const wrongPoint = defineRule({
  id: 'wrong-point',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'A reading asks for more current than everything behind it can take.',
  why: 'The volts on both sides of a dropper say what flows in it. If that is more than all loads behind it could draw with their valves short-circuited, no part is overloaded: the reading was taken at another point, or belongs to another node.',
  howToFix:
    'Take the reading again at the point named. If it stands, something behind the dropper that the sheet does not show draws current, a leaking smoothing capacitor for instance.',
  source: 'Ohm’s and Kirchhoff’s laws on the parts as marked',
  options: {
    reserve: { default: 1.5, unit: '1', means: 'how much more than all loads together it must be' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k\n- R5 = 1k5\n- R20 = 10k 1W, B+2 to B+3\n- B+2: 322 V\n- B+3: 180 V\n',
    names: 'B+3',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k\n- R5 = 1k5\n- R20 = 10k 1W, B+2 to B+3\n- B+2: 322 V\n- B+3: 308 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const { ref } of allInRole(view, 'dropper')) {
        const dropper = view.parts.get(ref);
        if (dropper === undefined) continue;
        const through = currentThrough(view, dropper);
        const ends = endsOf(view, dropper);
        if (through === undefined || ends === undefined) continue;
        const most = mostDrawn(view, dropper, ends.behind, ends.volts);
        if (most === undefined) continue;
        // The very volts of an anode behind it leave little doubt where the probe was.
        const twin = most.loads
          .map((load) => farOf(view, load, ends.behind))
          .find((node) => node !== undefined && findVolts(view, node)?.value.quantity.value === ends.volts);
        const reserve = twin === undefined ? context.option('reserve') : 1;
        if (through.band.low <= most.amperes * reserve) continue;
        const reading = findVolts(view, ends.behind);
        if (reading === undefined || reading.source.file !== context.sheet.uri) continue;
        const fitting = most.further.filter((node) => findVolts(view, node) === undefined);
        const offer =
          twin !== undefined
            ? ` ${twin} reads the same.`
            : fitting.length === 0
              ? ''
              : ` The reading would fit ${fitting.join(' or ')}.`;
        reports.push({
          severity: 'warning',
          subject: ends.behind,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `${showValue(ends.volts, 'V')} at ${ends.behind} would mean ${showValue(through.middle, 'A')} through ${ref}, and ${most.loads.join(', ')} behind it can draw ${showValue(most.amperes, 'A')} at the very most.${offer} Read ${ends.behind} again; if it stands, measure ${ref} with the power off, for an open one passes nothing, and look for what leaks there.`,
          source: reading.source,
          figures: {
            current: { value: through.middle, unit: 'A' },
            most: { value: most.amperes, unit: 'A' },
          },
          explains: [
            { rule: 'resistor-over-dissipation', subject: ref },
            { rule: 'contradictory-readings', subject: ref },
            ...most.loads.flatMap((load) => contradictionsRound(view, load)),
            { rule: 'off-nominal', subject: ends.behind },
          ],
        });
      }
    }
    return reports;
  },
});

function farOf(view: PhaseView, ref: string, node: string): string | undefined {
  const part = view.parts.get(ref);
  return part === undefined ? undefined : farEnd(part, node);
}

/** The end that is behind the dropper, seen from the supply: the lower one. */
function endsOf(
  view: PhaseView,
  dropper: FittedPart,
): { readonly behind: string; readonly volts: number } | undefined {
  const nodes = [...dropper.terminals.values()];
  const [one, two] = nodes.map((node) => ({ node, volts: findVolts(view, node)?.value.quantity.value }));
  if (one?.volts === undefined || two?.volts === undefined || one.volts === two.volts) return undefined;
  const lower = one.volts < two.volts ? one : two;
  return { behind: lower.node, volts: lower.volts ?? 0 };
}

/**
 * The most that everything at a node can draw: each resistor as if its far end were grounded. Undefined where something
 * hangs there whose current the sheet cannot bound, or nothing at all: then nothing is concluded.
 */
function mostDrawn(view: PhaseView, dropper: FittedPart, node: string, volts: number) {
  let amperes = 0;
  const loads: string[] = [];
  const further: string[] = [];
  for (const { ref } of view.circuit.attached(node)) {
    const part = view.parts.get(ref);
    if (
      ref === dropper.ref ||
      part === undefined ||
      part.class === 'capacitor' ||
      part.class === 'test-point'
    )
      continue;
    const ohms = part.class === 'resistor' ? findValueInUse(part)?.quantity.value : undefined;
    if (ohms === undefined || ohms <= 0) return undefined;
    amperes += volts / ohms;
    loads.push(ref);
    if (view.roles.get(ref)?.role === 'dropper') {
      for (const other of part.terminals.values()) if (other !== node) further.push(other);
    }
  }
  return loads.length === 0 ? undefined : { amperes, loads, further };
}
