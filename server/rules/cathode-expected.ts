/** Owns the comparison of a cathode's volts with what its fitted parts should give, for the rules of cathodes too high and too low. */
import { findExpected } from '../bench/expected.ts';
import {
  type BenchReading,
  type Figure,
  type FittedPart,
  findValueInUse,
  type PhaseView,
} from '../bench/model.ts';
import { findModel } from '../electronics/models/find-model.ts';
import { modelCurrent } from '../electronics/models/model.ts';
import { volts } from '../units/si.ts';
import type { RuleContext } from './rule.ts';
import { farEnd, isAmplifying, partsServing } from './valve-circuit.ts';
import { findVolts } from './voltages.ts';

/** A grid more negative than this is not left to its cathode resistor [V]. */
const SHUT = -2;

export interface CathodeSeen {
  readonly valve: FittedPart;
  readonly resistor: FittedPart;
  readonly reading: BenchReading;
  readonly expected: Figure;
}

/**
 * The cathode of a valve that biases itself, where it stands farther from what one evaluation of the valve's law suggests than
 * `roughly` (a factor above or below 1), with the solved value. The circuit is solved for nothing else.
 */
export function findStrangeCathode(
  context: RuleContext,
  view: PhaseView,
  valve: FittedPart,
  roughly: number,
): CathodeSeen | undefined {
  if (!isAmplifying(valve)) return undefined;
  const reading = findVolts(view, `${valve.ref}.k`);
  const resistors = partsServing(view, valve.ref, 'cathode-resistor');
  const [resistor] = resistors;
  if (reading === undefined || resistor === undefined || resistors.length > 1) return undefined;
  if (reading.source.file !== context.sheet.uri) return undefined;
  // A grid held negative on purpose shuts the valve by itself.
  if ((findVolts(view, `${valve.ref}.g`)?.value.quantity.value ?? 0) < SHUT) return undefined;
  if (farEnd(resistor, view.circuit.nodeOf(`${valve.ref}.k`)) !== 'gnd' || isDirectlyDriven(view, valve))
    return undefined;
  if (!isStrange(view, valve, resistor, reading.value.quantity.value, roughly)) return undefined;
  const expected = findExpected(view, context.amplifier, `${valve.ref}.k`);
  if (expected?.quantity.unit === 'V' && expected.quantity.value > 0)
    return { valve, resistor, reading, expected };
  return undefined;
}

/** A follower's or cathodyne's cathode stands where its grid is put. */
function isDirectlyDriven(view: PhaseView, valve: FittedPart): boolean {
  const node = view.circuit.nodeOf(`${valve.ref}.g`);
  if (node === undefined) return false;
  return view.circuit
    .attached(node)
    .some(({ ref, terminal }) => terminal === 'a' && view.parts.get(ref)?.class === 'valve');
}

/**
 * Whether at the read volts, divided by `roughly`, the valve would drive less current into its resistor than those volts
 * need (for `roughly` above 1; for one below, more): then the volts it settles at lie beyond.
 */
function isStrange(
  view: PhaseView,
  valve: FittedPart,
  resistor: FittedPart,
  read: number,
  roughly: number,
): boolean {
  const model = findModel(valve.type?.valve?.type ?? valve.type?.text ?? '');
  const ohms = findValueInUse(resistor)?.quantity.value;
  if (!model.ok || ohms === undefined || ohms <= 0) return false;
  const cathode = Math.max(read, 0.01) / roughly;
  const sharing = Math.max(1, view.roles.get(resistor.ref)?.serves.length ?? 1);
  const needed = cathode / ohms / sharing;
  const load = partsServing(view, valve.ref, 'anode-load')[0];
  const behind = load && farEnd(load, view.circuit.nodeOf(`${valve.ref}.a`));
  const supply = behind === undefined ? undefined : findVolts(view, behind);
  const loadOhms = load && findValueInUse(load)?.quantity.value;
  const anode =
    supply !== undefined && loadOhms !== undefined
      ? supply.value.quantity.value - needed * loadOhms
      : findVolts(view, `${valve.ref}.a`)?.value.quantity.value;
  if (anode === undefined) return false;
  const screen = findVolts(view, `${valve.ref}.g2`)?.value.quantity.value ?? anode;
  const current = modelCurrent(model.value, {
    anode: volts(anode - cathode),
    grid: volts(-cathode),
    screen: volts(screen - cathode),
  });
  const flows = current.ok ? current.value : 0;
  return roughly > 1 ? flows < needed : flows > needed;
}
