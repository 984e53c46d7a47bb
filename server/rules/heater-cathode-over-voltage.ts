/** Owns the rule heater-cathode-over-voltage: a cathode too far from its heater. */

import type { FittedPart, PhaseView } from '../bench/model.ts';
import type { Valve } from '../catalogue/valve.ts';
import { heaterCathodeVoltage } from '../electronics/heater-cathode-voltage.ts';
import { volts } from '../units/si.ts';
import { severityOf } from './bands.ts';
import { shareOf, showValue } from './phrases.ts';
import { readingsThat } from './readings-that.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { findVolts } from './voltages.ts';

export const heaterCathodeOverVoltage = defineRule({
  id: 'heater-cathode-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >80 %, E >100 %; W at most where what the heaters are referred to is not written',
  summary: 'A cathode stands too far from its heater.',
  why: 'Between cathode and heater there is a thin coat of alumina. A follower, a cathodyne or a valve on a tall tail stands 60 to 170 V above a heater at ground, and many types are made for 90 or 100 V. The coat leaks first, which hums, and then breaks down. Where nothing says what the heaters are referred to, ground is assumed, and it is a warning at most.',
  howToFix:
    'Lift the heaters to about half of the highest cathode with a divider from the supply, decoupled, or fit a type whose sheet allows it. Where the heaters are lifted already, write the volts: `heaters to gnd: 45 V`.',
  source: 'the valve’s data sheet and its rating system, both named in the message',
  options: {
    warning: { default: 0.8, unit: '1', means: 'share of the limit that is a warning' },
    error: { default: 1, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V2A = 12AT7\n- R21 = 47k 1W, V2A.k to gnd\n- V2A.k: 96 V\n- heaters to gnd: 0 V\n',
    names: 'V2A',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V2A = 12AT7\n- R21 = 47k 1W, V2A.k to gnd\n- V2A.k: 96 V\n- heaters to gnd: 45 V\n',
  },
  check: (context) => context.eachPart(checkValve, 'valve'),
});

function checkValve({ option }: RuleContext, view: PhaseView, part: FittedPart): Report | undefined {
  const valve = part.type?.valve;
  // A rectifier on a winding of its own has its heater at its cathode.
  if (valve === undefined || valve.kind === 'rectifier') return undefined;
  const cathode = findVolts(view, `${part.ref}.k`);
  if (cathode === undefined) return undefined;
  const heaters = heaterReference(view);
  if (heaters === undefined) return undefined;
  const across = heaterCathodeVoltage(volts(cathode.value.quantity.value), volts(heaters.volts));
  const limit = limitOf(valve, cathode.value.quantity.value < heaters.volts);
  if (limit === undefined || !across.ok) return undefined;
  const share = { value: across.value / limit.value, unit: '1' as const };
  const severity = severityOf({ quantity: share }, [
    // Where the heaters stand is a guess unless it is written: then a step less is said.
    { severity: heaters.isKnown ? 'error' : 'warning', above: option('error') },
    { severity: heaters.isKnown ? 'warning' : 'info', above: option('warning') },
  ]);
  if (severity === undefined) return undefined;
  return {
    severity,
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `the cathode of ${part.ref} stands ${showValue(across.value, 'V')} from its heater (${heaters.because}): ${shareOf(share.value)} the ${showValue(limit.value, 'V')} that ${valve.type} allows (${limit.system}, ${limit.source}). Lift the heaters, or fit a type that allows it.`,
    source: cathode.source,
    figures: { 'heater-cathode-voltage': { value: across.value, unit: 'V' } },
    limit: {
      quantity: { value: limit.value, unit: 'V' },
      source: `${valve.type}, ${limit.system}, ${limit.source}`,
    },
  };
}

interface HeaterReference {
  readonly volts: number;
  readonly isKnown: boolean;
  readonly because: string;
}

/** Where the heaters stand. Tied to anything but ground and not read, they stand nobody knows where: then nothing is said. */
function heaterReference(view: PhaseView): HeaterReference | undefined {
  const reading = readingsThat(
    view,
    'of the heaters',
    ({ quantity, at, to, toNode, nominal }) =>
      quantity === 'voltage' && at === 'heaters' && (to === undefined || toNode === 'gnd') && !nominal,
  ).findLast(({ set }) => set.id === view.verdictSet?.id);
  if (reading !== undefined) {
    const { value } = reading.value.quantity;
    return { volts: value, isKnown: true, because: `heaters read at ${showValue(value, 'V')}` };
  }
  const node = view.circuit.nodeOf('heaters');
  if (node === 'gnd') return { volts: 0, isKnown: true, because: 'heaters at ground' };
  const ties = node === undefined ? [] : view.circuit.attached(node);
  if (ties.length === 0)
    return { volts: 0, isKnown: false, because: 'heaters taken at ground, which is not written' };
  const toGround = ties.every(({ ref }) =>
    [...(view.parts.get(ref)?.terminals.values() ?? [])].includes('gnd'),
  );
  return toGround ? { volts: 0, isKnown: true, because: 'heaters referred to ground' } : undefined;
}

/** The sheet's limit for that polarity; a limit for the cathode negative to the heater counts only then. */
function limitOf(valve: Valve, isNegative: boolean) {
  const main = valve.limits.heaterCathodeVoltage;
  if (main === undefined) return undefined;
  const negative = valve.otherEditions.find(
    ({ what, name }) => what === 'heaterCathodeVoltage' && name.startsWith('cathode negative'),
  );
  const system = main.system ?? valve.system;
  return isNegative && negative !== undefined
    ? { value: negative.value, system, source: `${negative.name}, ${negative.trust.source}` }
    : { value: main.value, system, source: main.trust.source };
}
