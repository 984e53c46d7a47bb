/** Owns the rule screen-open: a screen that nothing feeds, so that its valve is shut and gets the blame. */
import { findExpected } from '../bench/expected.ts';
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { impliedResistance } from '../electronics/ohmic.ts';
import { amperes, volts } from '../units/si.ts';
import { shareOf, show, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import {
  farEnd,
  isAmplifying,
  momentOf,
  offNominalOf,
  ownFigure,
  pairsOf,
  partsServing,
} from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const screenOpen = defineRule({
  id: 'screen-open',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary: 'A screen stands far below its supply while its valve hardly conducts: its resistor is open.',
  why: 'Without its screen a pentode or beam valve is all but shut. The stage gives half its power and hums, the partner carries the work, and the valve with the low current is blamed and replaced in vain. An open screen resistor often follows a short of the screen inside the valve.',
  howToFix:
    'Measure the screen resistor with the power off and renew it. Check the valve for a screen short before power goes on again. A valve pulled for half power, or a half-power switch, reads the same: write the condition (`V4 out`) and nothing is concluded.',
  source: 'Ohm’s law on the resistor as marked; the two shares are house rules (common practice, no source)',
  options: {
    screen: { default: 0.5, unit: '1', means: 'share of its supply below which the screen counts as unfed' },
    current: {
      default: 0.2,
      unit: '1',
      means: 'share of the partner’s (or the expected) current below which the valve counts as shut',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V3, V4 = EL34\n- R41, R42 = 1k 5W wirewound, B+ to V3.g2 V4.g2\n- R43, R44 = 1R 1W, V3.k V4.k to gnd\n- B+: 446 V\n- V3: a 443, g2 441, g -40.7\n- V4: a 446, g2 24, g -40.7\n- R43: 44.2 mV\n- R44: 0.3 mV\n',
    names: 'R42',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V3, V4 = EL34\n- R41, R42 = 1k 5W wirewound, B+ to V3.g2 V4.g2\n- R43, R44 = 1R 1W, V3.k V4.k to gnd\n- B+: 440.5 V\n- V3: a 437.5, g2 435.8, g -40.7\n- V4: a 437.5, g2 435.8, g -40.7\n- R43: 40.3 mV\n- R44: 40.3 mV\n',
  },
  check: (context) => context.eachPart(checkScreen, 'valve'),
});

function checkScreen(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  if (!isAmplifying(valve)) return undefined;
  const screen = findVolts(view, `${valve.ref}.g2`);
  if (screen === undefined) return undefined;
  const resistor = partsServing(view, valve.ref, 'screen-resistor')[0];
  const supply = supplyOf(context, view, valve, resistor);
  const at = screen.value.quantity.value;
  if (supply === undefined || !(supply.volts > 0) || at >= context.option('screen') * supply.volts)
    return undefined;
  const own = ownFigure(context, view, 'cathode-current', valve.ref);
  if (own === undefined) return undefined;
  // Where the supply is dead too, what feeds it is open, not what follows it.
  const anode = findVolts(view, `${valve.ref}.a`)?.value.quantity.value ?? 0;
  if (supply.volts < context.option('screen') * anode) return undefined;
  const partners = partnersOf(context, view, valve);
  const reference = referenceCurrent(context, view, valve, partners);
  if (reference === undefined || own.quantity.value >= context.option('current') * reference.amperes)
    return undefined;
  const implied = impliedResistance(volts(supply.volts - at), amperes(own.quantity.value));
  const marked = resistor && findValueInUse(resistor)?.quantity;
  const proof =
    resistor === undefined
      ? 'Measure what feeds it, power off, and renew it.'
      : `${
          implied.ok && marked !== undefined
            ? `Even with all of that through it, ${resistor.ref} would be ${showValue(implied.value, 'Ohm')} instead of ${show(marked)}: it is open. `
            : ''
        }Measure ${resistor.ref} with the power off and renew it.`;
  return {
    severity: 'error',
    subject: resistor?.ref ?? valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the screen of ${valve.ref} stands at ${show(screen.value.quantity)} with ${showValue(supply.volts, 'V')} at ${supply.at}, and ${valve.ref} passes ${show(own.quantity)} where ${reference.whose} ${showValue(reference.amperes, 'A')}: nothing feeds its screen. ${proof} ${valve.ref} may well be good; check it for a screen short before power goes on, which is what often opens such a resistor.`,
    source: screen.source,
    figures: { 'screen-voltage': screen.value.quantity, 'cathode-current': own.quantity },
    limit: {
      quantity: { value: context.option('screen') * supply.volts, unit: 'V' },
      source: `house rule: a screen above ${shareOf(context.option('screen'))} its supply`,
    },
    explains: [
      ...pairsOf(context, view, valve.ref).map((subject) => ({ rule: 'mismatched-pair', subject })),
      ...(resistor === undefined
        ? []
        : ['value-out-of-tolerance', 'contradictory-readings', 'resistor-over-dissipation'].map((rule) => ({
            rule,
            subject: resistor.ref,
          }))),
      ...[
        'contradictory-readings',
        'fixed-bias-cold',
        'no-conduction',
        'cathode-low',
        'anode-over-dissipation',
        'anode-over-voltage',
        'screen-over-dissipation',
      ].map((rule) => ({ rule, subject: valve.ref })),
      // Without this valve's load the supply rises, and the partner takes what there is.
      ...partners.flatMap((subject) =>
        ['fixed-bias-hot', 'anode-over-dissipation', 'anode-over-voltage', 'screen-over-dissipation'].map(
          (rule) => ({ rule, subject }),
        ),
      ),
      ...[valve.ref, ...partners].flatMap(offNominalOf),
    ],
  };
}

function partnersOf(context: RuleContext, view: PhaseView, { ref }: FittedPart): readonly string[] {
  return pairsOf(context, view, ref)
    .flatMap((pair) => pair.split(','))
    .filter((each) => each !== ref);
}

/** What should stand on the screen: the supply behind its resistor, else the partner's screen, else the valve's own anode. */
function supplyOf(
  context: RuleContext,
  view: PhaseView,
  valve: FittedPart,
  resistor: FittedPart | undefined,
): { readonly volts: number; readonly at: string } | undefined {
  const node = resistor && farEnd(resistor, view.circuit.nodeOf(`${valve.ref}.g2`));
  const readAt = (at: string) => {
    const reading = findVolts(view, at);
    return reading && { volts: reading.value.quantity.value, at };
  };
  let supply = node === undefined ? undefined : readAt(node);
  if (supply !== undefined) return supply;
  for (const ref of partnersOf(context, view, valve)) supply ??= readAt(`${ref}.g2`);
  return supply ?? readAt(`${valve.ref}.a`);
}

function referenceCurrent(
  context: RuleContext,
  view: PhaseView,
  valve: FittedPart,
  partners: readonly string[],
): { readonly amperes: number; readonly whose: string } | undefined {
  for (const ref of partners) {
    const figure = ownFigure(context, view, 'cathode-current', ref);
    if (figure !== undefined) return { amperes: figure.quantity.value, whose: `${ref} passes` };
  }
  const expected = findExpected(view, context.amplifier, valve.ref);
  return expected?.quantity.unit === 'A'
    ? { amperes: expected.quantity.value, whose: 'an average valve here would pass' }
    : undefined;
}
