/** Owns the rule no-conduction: a stage whose anode stands at its supply because no current flows in its load. */
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { shareOf, show } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import {
  currentMeasure,
  farEnd,
  isAmplifying,
  momentOf,
  offNominalOf,
  partsServing,
} from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

/** What a digital meter puts across what it reads (common practice, no source) [Ω]. */
const METER_OHMS = 10e6;

export const noConduction = defineRule({
  id: 'no-conduction',
  since: '0.1.0',
  category: 'readings',
  severities: 'E; W where the cathode was not read',
  summary: 'An anode stands at its supply behind a load resistor: the valve does not conduct.',
  why: 'Current in the load would put volts across it. None means no current: an open cathode resistor, a heater that is not lit, a valve without emission, or a contact that does not touch. The stage passes no signal, whatever its other voltages say. Where the cathode was not read, the anode alone may also be a misread supply, so it is a warning then.',
  howToFix:
    'See that the heater glows, then measure the cathode resistor with the power off, then try another valve. A valve held shut by its grid on purpose (a tremolo at rest) reads the same: write the grid’s voltage and nothing is concluded.',
  source: 'Ohm’s law; the shares are house rules (common practice, no source)',
  options: {
    drop: {
      default: 0.02,
      unit: '1',
      means: 'drop over the load as a share of the supply that counts as none',
    },
    load: { default: 10_000, unit: 'Ohm', means: 'loads below this (transformers) are not judged' },
    cathode: { default: 0.1, unit: 'V', means: 'volts below which a cathode counts as without current' },
    shut: { default: -3, unit: 'V', means: 'a grid more negative than this shuts the valve by itself' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k\n- R5 = 1k5\n- R6 = 1M\n- B+3: 278 V\n- V1A: a 277, k 0.01, g 0\n',
    names: 'V1A',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5, g R6\n- R4 = 100k\n- R5 = 1k5\n- R6 = 1M\n- B+3: 278 V\n- V1A: a 181, k 1.45, g 0\n',
  },
  check: (context) => context.eachPart(checkStage, 'valve'),
});

function checkStage(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  if (!isAmplifying(valve)) return undefined;
  const load = partsServing(view, valve.ref, 'anode-load')[0];
  const ohms = load && findValueInUse(load)?.quantity.value;
  if (load === undefined || ohms === undefined || ohms < context.option('load')) return undefined;
  const anode = findVolts(view, `${valve.ref}.a`);
  const rail = farEnd(load, view.circuit.nodeOf(`${valve.ref}.a`));
  const supply = rail === undefined ? undefined : findVolts(view, rail);
  if (anode === undefined || supply === undefined || rail === undefined) return undefined;
  const top = supply.value.quantity.value;
  const drop = top - anode.value.quantity.value;
  // The meter itself draws through the load while it reads the anode.
  const byMeter = ohms / (ohms + METER_OHMS);
  if (!(top > 0) || drop > (context.option('drop') + byMeter) * top || drop < -0.05 * top) return undefined;
  const cathode = findVolts(view, `${valve.ref}.k`);
  const isGrounded = view.circuit.nodeOf(`${valve.ref}.k`) === 'gnd';
  if (cathode !== undefined && Math.abs(cathode.value.quantity.value) >= context.option('cathode'))
    return undefined;
  const grid = findVolts(view, `${valve.ref}.g`);
  if (grid !== undefined && grid.value.quantity.value < context.option('shut')) return undefined;
  const said =
    cathode === undefined
      ? isGrounded
        ? ''
        : ' Its cathode was not read.'
      : ` and its cathode ${show(cathode.value.quantity)}`;
  const first = partsServing(view, valve.ref, 'cathode-resistor')[0];
  const current = currentMeasure(context, view, 'cathode-current', valve.ref);
  return {
    severity: cathode === undefined && !isGrounded ? 'warning' : 'error',
    subject: valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the anode of ${valve.ref} stands at ${show(anode.value.quantity)} with ${show(supply.value.quantity)} at ${rail} behind ${load.ref}${cathode === undefined ? `.${said}` : `${said}.`} Less than ${shareOf(context.option('drop'))} the supply drops over ${show({ value: ohms, unit: 'Ohm' })} (house rule): ${valve.ref} does not conduct. See that its heater glows${first === undefined ? '' : `, measure ${first.ref} with the power off`}, then try another valve.`,
    source: anode.source,
    ...current,
    figures: { ...current.figures, drop: { value: Math.max(0, drop), unit: 'V' } },
    limit: {
      quantity: { value: context.option('drop') * top, unit: 'V' },
      source: 'house rule; common practice, no source',
    },
    explains: [
      ...['cathode-low', 'contradictory-readings', 'anode-over-voltage'].map((rule) => ({
        rule,
        subject: valve.ref,
      })),
      ...offNominalOf(valve.ref),
    ],
  };
}
