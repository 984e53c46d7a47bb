/** Owns the rule bottomed: a stage whose anode has fallen so low that it has no room left to swing. */
import { type FittedPart, findValueInUse, type PhaseView } from '../bench/model.ts';
import { show, showShare } from './phrases.ts';
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

export const bottomed = defineRule({
  id: 'bottomed',
  since: '0.1.0',
  category: 'readings',
  severities: 'W <25 %',
  summary: 'An anode stands below a quarter of its supply.',
  why: 'A stage that idles so low clips the moment it is driven. Its grid is pulled positive, its cathode resistor or bypass capacitor is shorted, or its anode load has drifted high.',
  howToFix:
    'Read grid and cathode. A positive grid points to the coupling capacitor before it, a cathode near zero to the bypass capacitor, and both right to the anode load: measure it with the power off. An anode that drives the next grid directly may be meant to stand low and is not judged.',
  source: 'the share is a house rule (common practice, no source)',
  options: {
    share: {
      default: 0.25,
      unit: '1',
      means: 'share of the supply below which the anode counts as bottomed',
    },
    load: { default: 10_000, unit: 'Ohm', means: 'loads below this are not judged' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k\n- R5 = 1k5\n- B+3: 278 V\n- V1A: a 48\n',
    names: 'V1A',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V1A = 12AX7, a R4 B+3, k R5\n- R4 = 100k\n- R5 = 1k5\n- B+3: 278 V\n- V1A: a 181\n',
  },
  check: (context) => context.eachPart(checkStage, 'valve'),
});

function checkStage(context: RuleContext, view: PhaseView, valve: FittedPart): Report | undefined {
  if (!isAmplifying(valve)) return undefined;
  const node = view.circuit.nodeOf(`${valve.ref}.a`);
  const load = partsServing(view, valve.ref, 'anode-load')[0];
  const ohms = load && findValueInUse(load)?.quantity.value;
  if (load === undefined || node === undefined || ohms === undefined || ohms < context.option('load'))
    return undefined;
  const anode = findVolts(view, node);
  const rail = farEnd(load, node);
  const supply = rail === undefined ? undefined : findVolts(view, rail);
  if (anode === undefined || supply === undefined) return undefined;
  const share = anode.value.quantity.value / supply.value.quantity.value;
  if (!(supply.value.quantity.value > 0) || !(share < context.option('share'))) return undefined;
  // A direct-coupled driver stands where the next cathode wants it.
  const drivesGrid = view.circuit
    .attached(node)
    .some(({ ref, terminal }) => ref !== valve.ref && terminal === 'g');
  if (drivesGrid) return undefined;
  const current = currentMeasure(context, view, 'anode-current', valve.ref);
  return {
    severity: 'warning',
    subject: valve.ref,
    ...momentOf(view),
    tellsPhase: true,
    message: `the anode of ${valve.ref} stands at ${show(anode.value.quantity)} of ${show(supply.value.quantity)} at ${rail}: ${showShare(share)}, below ${showShare(context.option('share'))} (house rule). It has no room to swing. Read its grid and cathode: a positive grid points to the coupling capacitor before it, a cathode near zero to its bypass; if both are right, measure ${load.ref} with the power off.`,
    source: anode.source,
    ...current,
    figures: { ...current.figures, share: { value: share, unit: '1' } },
    limit: {
      quantity: { value: context.option('share'), unit: '1' },
      source: 'house rule; common practice, no source',
    },
    explains: offNominalOf(valve.ref),
  };
}
