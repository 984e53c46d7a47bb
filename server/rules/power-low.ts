/** Owns the rule power-low: less output at clipping than supply, load and valves allow. */
import type { Figure, PhaseView } from '../bench/model.ts';
import { pushPullPower } from '../electronics/push-pull-power.ts';
import { singleEndedCeiling } from '../electronics/single-ended-power.ts';
import { amperes, ohms, volts } from '../units/si.ts';
import { figuresIn } from './figure-of.ts';
import { show, showShare, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { ownFigure } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

export const powerLow = defineRule({
  id: 'power-low',
  since: '0.1.0',
  category: 'readings',
  severities: 'I <60 %',
  summary: 'The output at clipping is far below what the supply and the load allow.',
  why: 'Half the power at clipping is a worn pair, an open screen, a dead half of the stage, a loudspeaker on the wrong tap or a drive that gives out first. The readings at idle may all look right.',
  howToFix:
    'Look at the output at clipping: one half flat first means one valve or its drive. Then try known good valves, then the tap and the load.',
  source:
    'swing into the reflected load with the supply sagging and a floor left to the valves, as the options say (common practice, no source)',
  options: {
    share: { default: 0.6, unit: '1', means: 'share of the power allowed below which it is information' },
    sag: { default: 0.1, unit: '1', means: 'how far the supply is taken to sag at full output' },
    floor: { default: 80, unit: 'V', means: 'volts that stay on the valve at the bottom of its swing' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = EL34\n- T2 = output 3k4 : 4R 8R 50W, V5.a V6.a, ct B+1, LS1 on 8R\n- LS1 = 8R 60W\n- V5: a 430, g2 425\n- V6: a 430, g2 425\n- clipping, dummy 8R: LS1: 11 Vrms at 1 kHz\n',
    names: 'LS1',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5, V6 = EL34\n- T2 = output 3k4 : 4R 8R 50W, V5.a V6.a, ct B+1, LS1 on 8R\n- LS1 = 8R 60W\n- V5: a 430, g2 425\n- V6: a 430, g2 425\n- clipping, dummy 8R: LS1: 19.6 Vrms at 1 kHz\n',
  },
  check(context) {
    const reports: Report[] = [];
    for (const view of context.verdictViews) {
      for (const power of figuresIn(view, 'power', 'all')) {
        const reading = view.readings.findLast(
          ({ at, set, quantity }) =>
            at === power.subject && set.id === power.set && quantity === 'ac-voltage',
        );
        const conditions = [...(reading?.set.conditions ?? []), ...(reading?.conditions ?? [])];
        if (!conditions.some(({ kind }) => kind === 'clipping')) continue;
        const dummy = conditions.find(({ kind }) => kind === 'dummy-load')?.value?.value;
        const report = checkPower(context, view, power, dummy);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

function checkPower(
  context: RuleContext,
  view: PhaseView,
  power: Figure,
  dummy: number | undefined,
): Report | undefined {
  // Read at the loudspeaker, or at the tap that it hangs on (`OT.8R`).
  const tapOf = view.parts.get(power.subject) === undefined ? power.subject.split('.')[0] : undefined;
  const nominal =
    tapOf === undefined
      ? view.parts.get(power.subject)?.impedance?.quantity.value
      : power.inputs.find(({ known }) => known.quantity.unit === 'Ohm')?.known.quantity.value;
  const transformer = [...view.roles.values()].find(
    ({ ref, role }) =>
      role === 'output-transformer' &&
      (ref === tapOf ||
        [...(view.parts.get(ref)?.terminals.values() ?? [])].some((node) =>
          view.circuit.attached(node).some((each) => each.ref === power.subject),
        )),
  );
  if (transformer === undefined || nominal === undefined) return undefined;
  // Another load than the one that the transformer is reckoned with reflects otherwise.
  if (dummy !== undefined && Math.abs(dummy / nominal - 1) > 0.1) return undefined;
  const load = context.amplifier.phases
    .flatMap((each) => figuresIn(each, 'reflected-load'))
    .findLast(({ subject }) => subject === transformer.ref);
  const [first, second] = transformer.serves;
  if (load === undefined || first === undefined) return undefined;
  const anode = findVolts(view, `${first}.a`)?.value.quantity.value;
  if (anode === undefined) return undefined;
  const across = anode - Math.max(0, findVolts(view, `${first}.k`)?.value.quantity.value ?? 0);
  const room = across * (1 - context.option('sag')) - context.option('floor');
  const allowed =
    second === undefined ? findCeiling(context, view, first, across) : findSwingPower(load, room);
  const share = context.option('share');
  if (allowed === undefined || power.quantity.value >= share * allowed) return undefined;
  const least = { value: share * allowed, unit: 'W' } as const;
  return {
    severity: 'info',
    subject: power.subject,
    phase: view.phase,
    tellsPhase: true,
    message: `${power.subject} ${tapOf === undefined ? 'takes' : 'gives'} ${show(power.quantity)} at clipping. With ${showValue(across, 'V')} across ${first} and ${show(load.quantity)} at the primary some ${showValue(allowed, 'W')} should be there, and it is under ${showShare(share)} of that (house rule). See which half clips first, then try known good valves, then the tap.`,
    source: power.source,
    figures: { power: power.quantity },
    limit: { quantity: least, source: 'house rule; common practice, no source' },
  };
}

/** The power that a pair swings into its load in the room it has. */
function findSwingPower(load: Figure, room: number): number | undefined {
  const anodeToAnode = load.quantity.value;
  const power = pushPullPower(amperes((4 * room) / anodeToAnode), ohms(anodeToAnode));
  return room > 0 && power.ok ? power.value : undefined;
}

function findCeiling(
  context: RuleContext,
  view: PhaseView,
  valve: string,
  across: number,
): number | undefined {
  const rest = ownFigure(context, view, 'anode-current', valve)?.quantity.value;
  if (rest === undefined) return undefined;
  const ceiling = singleEndedCeiling(volts(across), amperes(rest));
  return ceiling.ok ? ceiling.value * (1 - context.option('sag')) : undefined;
}
