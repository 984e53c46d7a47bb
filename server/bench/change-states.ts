/**
 * Owns the two states of an amplifier that a change stands between: the state it is seen in, the readings that stand for it,
 * and the part before and after where it sits. It must not know what is worked out of them.
 */
import type { Quantity } from '../units/si.ts';
import type { PhaseBench } from './derive/bench.ts';
import { openBench } from './derive/derive.ts';
import { sheetsOf } from './derive/mains.ts';
import { lookAt } from './look.ts';
import { type Amplifier, type FittedPart, findValueInUse, type PartChange, type PhaseView } from './model.ts';
import { isTiedAlike, withPart } from './variant.ts';

/** The amplifier before and after one change, all else as it stands. */
export interface States {
  readonly change: PartChange;
  readonly amplifier: Amplifier;
  /** Both parts where they sit. */
  readonly was?: FittedPart;
  readonly is?: FittedPart;
  readonly base: PhaseView;
  /** The phase whose readings stand for it. */
  readonly read: PhaseView;
  readonly before: StateBench;
  readonly after: StateBench;
  /** Not only its ratings. */
  readonly isElectrical: boolean;
}

export interface StateBench extends PhaseBench {
  readonly state: PhaseView;
}

/** Both states of a change, with what else is changed in the same go; undefined where nothing changes. */
export function findStates(
  change: PartChange,
  amplifier: Amplifier,
  besides: readonly PartChange[] = [],
): States | undefined {
  const state = stateFor(change, amplifier);
  if (state === undefined) return undefined;
  const read = lastRead(state, amplifier);
  const base = withReadings(state, read);
  const { was, is } = placed(change, base);
  if (was === undefined && is === undefined) return undefined;
  if (was !== undefined && is !== undefined && isAlike(was, is)) return undefined;
  const withEach = (side: 'was' | 'is') =>
    besides.reduce((state, each) => withPart(state, each.ref, placed(each, base)[side]), base);
  return {
    change,
    amplifier,
    ...(was && { was }),
    ...(is && { is }),
    base,
    read,
    before: openState(withPart(withEach('was'), change.ref, was), amplifier),
    after: openState(withPart(withEach('is'), change.ref, is), amplifier),
    isElectrical: besides.length > 0 || was === undefined || is === undefined || !isSameElectrically(was, is),
  };
}

/** The state that a change is seen in: as found for what was found, else the last one. */
function stateFor({ is, planned }: PartChange, { phases }: Amplifier): PhaseView | undefined {
  const settled = phases.filter(({ phase }) => phase !== 'noted');
  if (!planned && is?.since === 'as-found') {
    return settled.find(({ phase }) => phase === 'as-found') ?? settled.at(-1);
  }
  return settled.at(-1);
}

/** The state itself where something was read in it, else the last before it. */
function lastRead(state: PhaseView, { phases }: Amplifier): PhaseView {
  if (state.verdictSet !== undefined) return state;
  const earlier = phases.slice(0, phases.indexOf(state));
  return earlier.findLast(({ verdictSet }) => verdictSet !== undefined) ?? state;
}

const borrowed = new WeakMap<PhaseView, PhaseView>();

function withReadings(state: PhaseView, read: PhaseView): PhaseView {
  const known = borrowed.get(state);
  if (known !== undefined || state === read) return known ?? state;
  const { readings, nominals, verdictSet, figures } = read;
  const made = { ...state, readings, nominals, figures, ...(verdictSet && { verdictSet }) };
  borrowed.set(state, made);
  return made;
}

/** Both parts where they sit: connections carry over, and the state's own part counts where it is still the same. */
function placed(change: PartChange, base: PhaseView): Pick<PartChange, 'was' | 'is'> {
  const { was, is, ref } = change;
  const home =
    [is, was, base.parts.get(ref)].find((part) => part !== undefined && part.terminals.size > 0)?.terminals ??
    new Map<string, string>();
  const place = (part: FittedPart | undefined): FittedPart | undefined => {
    if (part === undefined) return undefined;
    const own = base.parts.get(ref);
    if (own !== undefined && own.specification === part.specification && own.since === part.since) return own;
    return part.terminals.size > 0 ? part : { ...part, terminals: home };
  };
  return { was: place(was), is: place(is) };
}

export function isAlike(one: FittedPart, other: FittedPart): boolean {
  return one === other || (isSameElectrically(one, other) && ratingsOf(one) === ratingsOf(other));
}

function ratingsOf({ ratings, kinds }: FittedPart): string {
  const { voltage, power, current } = ratings;
  const rated = [voltage, power, current].map((known) => String(known?.quantity.value ?? ''));
  return [...rated, ...[...kinds].sort()].join(' ');
}

export function isSameElectrically(one: FittedPart, other: FittedPart): boolean {
  const value = (part: FittedPart) => findValueInUse(part)?.quantity.value;
  const type = ({ type: of }: FittedPart) => of?.valve?.type ?? of?.text;
  const windings = ({ specification }: FittedPart) =>
    specification?.windings
      .map(({ volts, impedance }) => [written(volts), written(impedance)].join())
      .join(' ');
  return (
    value(one) === value(other) &&
    type(one) === type(other) &&
    (windings(one) ?? '') === (windings(other) ?? '') &&
    one.resistance?.quantity.value === other.resistance?.quantity.value &&
    one.measured.at(-1)?.special === other.measured.at(-1)?.special &&
    leakOf(one) === leakOf(other) &&
    isTiedAlike(one, other)
  );
}

/** Insulation of a capacitor as it was read [Ω]. */
export function leakOf(part: FittedPart | undefined): number | undefined {
  const leak = part?.measured.findLast(({ quantity: of }) => of === 'insulation');
  return leak?.special === 'open' ? undefined : leak?.value.quantity.value;
}

function written(value: { readonly kind: string; readonly value?: unknown } | undefined): string {
  const of = value?.kind === 'value' ? (value.value as { readonly quantity: Quantity }) : undefined;
  return String(of?.quantity.value ?? '');
}

export function openState(state: PhaseView, amplifier: Amplifier): StateBench {
  const { sheet } = amplifier;
  const sheets = sheetsOf(amplifier).slice(
    state.phase === 'factory' && amplifier.chassis !== undefined ? 1 : 0,
  );
  return { ...openBench(state, lookAt(state.parts, state.circuit), { sheet, sheets }), state };
}
