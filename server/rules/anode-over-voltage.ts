/** Owns the rule anode-over-voltage: more between anode and cathode than the valve's data sheet allows. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { isFixedBias } from './bias-kind.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { findVolts, METER_SLACK } from './voltages.ts';

export const anodeOverVoltage = defineRule({
  id: 'anode-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >100 %, E >120 %',
  summary: 'The anode stands above the voltage that the valve’s data sheet allows.',
  why: 'The limit holds between anode and cathode. Makers go over it often, and many valves bear it; that makes it common, not right, and a replacement of another make may not bear it.',
  howToFix:
    'Check the mains and its tap first. If the amplifier was designed so, accept the finding with that reason, and choose valves whose own sheet allows the voltage.',
  source: 'the valve’s data sheet and its rating system, both named in the message',
  options: {
    warning: { default: 1, unit: '1', means: 'share of the limit that is a warning' },
    error: { default: 1.2, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 361, g2 272, k 12.4\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 311, g2 272, k 12.4\n',
  },
  check: (context) => context.eachPart(checkAnode, 'valve'),
});

function checkAnode({ option }: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const valve = part.type?.valve;
  const limit = valve?.limits.anodeVoltage;
  if (valve === undefined || limit === undefined || valve.kind === 'rectifier') return undefined;
  const anode = findVolts(view, `${part.ref}.a`);
  const cathode = findVolts(view, `${part.ref}.k`);
  if (anode === undefined) return undefined;
  // Without a cathode reading the true figure is lower by the bias, which a cathode rarely has more than 60 V of.
  const across = anode.value.quantity.value - (cathode?.value.quantity.value ?? 0);
  const share = across / limit.value;
  const isGrounded = view.circuit.nodeOf(`${part.ref}.k`) === 'gnd' || isFixedBias(view, part.ref);
  const sure = cathode !== undefined || isGrounded;
  if (share <= option('warning') * (1 + METER_SLACK) || (!sure && across - 60 <= limit.value))
    return undefined;
  const system = limit.system ?? valve.system;
  return {
    severity: share > option('error') ? 'error' : 'warning',
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `${part.ref} has ${showValue(across, 'V')} from anode to ${cathode === undefined ? 'ground' : 'cathode'}: ${shareOf(share)} the ${showValue(limit.value, 'V')} that ${valve.type} allows (${system}, ${limit.trust.source}). Common in production, and still over. Check mains and tap; if it is the design, accept it with that reason.`,
    source: anode.source,
    figures: { voltage: { value: across, unit: 'V' } },
    measure: 'voltage',
    limit: {
      quantity: { value: limit.value, unit: 'V' },
      source: `${valve.type}, ${system}, ${limit.trust.source}`,
    },
  };
}
