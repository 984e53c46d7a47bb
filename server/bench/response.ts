/**
 * Owns the levels of a signal before and after one change, at any frequencies: where it is driven, where it is heard, and all
 * that is held as it stands.
 */
import { levels as levelsOf, logarithmicSweep, transfer } from '../electronics/solver/sweep.ts';
import { type Hertz, hertz, type Quantity, quantity } from '../units/si.ts';
import { findStates, type States } from './change-states.ts';
import type { PhaseBench } from './derive/bench.ts';
import { endsOf } from './look.ts';
import type { Amplifier, PartChange, Role } from './model.ts';
import { isSecondary } from './points.ts';
import {
  findSignalRegion,
  findUnloaded,
  type Held,
  type SignalRegion,
  signalElements,
} from './signal-circuit.ts';

/** Level at one frequency, over 1 V where it is driven; undefined where nothing at all comes through. */
export interface LevelAt {
  readonly frequency: Quantity<'Hz'>;
  readonly before?: Quantity<'dB'>;
  readonly after?: Quantity<'dB'>;
  /** After less before. */
  readonly change?: Quantity<'dB'>;
}

export interface LevelEffect {
  /** Node that is driven, and node where it is heard. */
  readonly from: string;
  readonly at: string;
  readonly levels: readonly LevelAt[];
  /** The valves' constants are the catalogue's; a setting that nobody wrote is assumed. */
  readonly basis: 'fitted' | 'catalogue' | 'assumed';
}

/** What one change does from the lowest to the highest note and beyond. */
export interface ResponseChange extends LevelEffect {
  readonly ref: string;
  readonly change: PartChange;
  readonly role: Role;
  /** From where it is driven to where it is heard; of a feedback network from the loudspeaker's tap to where it comes back. */
  readonly path: 'forward' | 'fed-back';
  readonly held: readonly Held[];
}

/** Parts and networks whose frequency response somebody changes them for. */
const SHAPING: ReadonlySet<Role> = new Set<Role>([
  'coupling',
  'cathode-bypass',
  'grid-return',
  'snubber',
  'volume',
  'bright',
  'tone',
  'treble-cut',
  'feedback',
  'feedback-loop',
  'feedback-shelf',
]);
const FEEDING_BACK: ReadonlySet<Role> = new Set<Role>(['feedback', 'feedback-loop', 'feedback-shelf']);

/** The audible range, 40 points a decade: a corner stands to within a twentieth of a decibel. */
const AUDIBLE = logarithmicSweep(hertz(20), hertz(20_000), 121);

export const AUDIBLE_FREQUENCIES: readonly Hertz[] = AUDIBLE.ok ? AUDIBLE.value : [];

/** Two curves nearer than this everywhere are one line on paper [dB]. */
const WORTH_DRAWING = 0.1;

/**
 * The response before and after of each change of a coupling, bypass, tone, bright or feedback network, one change at a time,
 * in the order of the sheet. A change whose circuit is not known, or that moves nothing by a tenth of a decibel, is not there.
 */
export function findResponses(
  amplifier: Amplifier,
  most = Number.POSITIVE_INFINITY,
): readonly ResponseChange[] {
  const found: ResponseChange[] = [];
  for (const change of amplifier.changes) {
    if (found.length >= most) break;
    if (change.planned) continue;
    const response = responseOf(change, amplifier, AUDIBLE_FREQUENCIES);
    if (response !== undefined) found.push(response);
  }
  return found;
}

function responseOf(
  change: PartChange,
  amplifier: Amplifier,
  frequencies: readonly Hertz[],
): ResponseChange | undefined {
  const states = findStates(change, amplifier);
  if (states === undefined) return undefined;
  const role = shapingRole(states);
  if (role === undefined) return undefined;
  const path = FEEDING_BACK.has(role) ? 'fed-back' : 'forward';
  const response = path === 'forward' ? findResponse(states, frequencies) : findReturn(states, frequencies);
  if (response === undefined || !isMoved(response)) return undefined;
  const held = new Map(
    [{ kind: 'parts', phase: states.base.phase } as const, ...response.held].map((each) => [
      JSON.stringify(each),
      each,
    ]),
  );
  return { ...response, ref: change.ref, change, role, path, held: [...held.values()] };
}

function shapingRole({ before, after, change: { ref } }: States): Role | undefined {
  for (const { view } of [after, before]) {
    const known = view.roles.get(ref);
    const role = [known?.role, known?.network?.name].find((each) => each !== undefined && SHAPING.has(each));
    if (role !== undefined) return role;
  }
  return undefined;
}

/** Whether there is anything to draw. */
export function isMoved({ levels }: Pick<LevelEffect, 'levels'>): boolean {
  return levels.some(
    ({ before, after, change }) =>
      Math.abs(change?.value ?? 0) >= WORTH_DRAWING || (before === undefined) !== (after === undefined),
  );
}

/** Levels before and after, with what they hold; undefined where nothing electrical changes or the circuit is not known. */
export function findResponse(
  states: States,
  frequencies: readonly Hertz[],
): (LevelEffect & { readonly held: readonly Held[] }) | undefined {
  const { before, after, isElectrical } = states;
  const wide = isElectrical ? findWideRegion(states) : undefined;
  if (wide === undefined) return undefined;
  return findForwardIn(wide, before, after, frequencies);
}

/** Places around the changed part at which no load is written, in either state: nothing is told of levels there. */
export function findUnloadedAround(states: States): readonly string[] {
  const region = states.isElectrical ? findWideRegion(states) : undefined;
  if (region === undefined) return [];
  return [...new Set([states.before, states.after].flatMap((bench) => findUnloaded(bench, region)))];
}

/** The same of a region that is known. */
export function findForwardIn(
  region: SignalRegion,
  before: PhaseBench,
  after: PhaseBench,
  frequencies: readonly Hertz[],
): (LevelEffect & { readonly held: readonly Held[] }) | undefined {
  const one = respond(before, region, frequencies);
  const two = respond(after, region, frequencies);
  if (one === undefined || two === undefined) return undefined;
  const held: readonly Held[] = [...one.held, ...two.held, { kind: 'no-strays' }];
  return {
    from: region.input,
    at: region.output,
    basis: basisOf(held, region),
    held,
    levels: besideEachOther(frequencies, one.levels, two.levels),
  };
}

/** What levels rest on. */
function basisOf(held: readonly Held[], { valves }: Pick<SignalRegion, 'valves'>): LevelEffect['basis'] {
  const isAssumed = held.some(
    (each) =>
      each.kind === 'loop-open' ||
      each.kind === 'switch-closed' ||
      (each.kind === 'setting' && each.isAssumed),
  );
  return isAssumed ? 'assumed' : valves.size > 0 ? 'catalogue' : 'fitted';
}

/**
 * What comes back through a feedback network: 1 V at the loudspeaker's tap, heard where the network ends, the grids at rest.
 * Of the loop itself nothing is said: what the whole amplifier makes of it depends on the output stage and its transformer.
 */
export function findReturn(
  states: States,
  frequencies: readonly Hertz[],
): (LevelEffect & { readonly held: readonly Held[] }) | undefined {
  const { before, after, isElectrical } = states;
  if (!isElectrical) return undefined;
  const region = findWideRegion(states);
  if (region === undefined) return undefined;
  return findReturnIn(region, before, after, frequencies);
}

/** The same of a region that is known. */
export function findReturnIn(
  region: SignalRegion,
  before: PhaseBench,
  after: PhaseBench,
  frequencies: readonly Hertz[],
): (LevelEffect & { readonly held: readonly Held[] }) | undefined {
  const loops = [before, after].map((bench) => loopIn(bench, region));
  const loop = loops.find((each) => each !== undefined);
  if (loop === undefined) return undefined;
  const one = returnOf(before, region, loop, frequencies);
  const two = returnOf(after, region, loop, frequencies);
  if (one === undefined || two === undefined) return undefined;
  return {
    from: loop.tap,
    at: loop.at,
    basis: 'assumed',
    held: [...one.held, ...two.held, { kind: 'no-strays' }],
    levels: besideEachOther(frequencies, one.levels, two.levels),
  };
}

/** The part through which the loudspeaker's signal comes back. */
interface Loop {
  readonly ref: string;
  readonly tap: string;
  readonly at: string;
}

/** The only way back into a region; undefined where there is none, or where there are several. */
function loopIn(bench: PhaseBench, region: SignalRegion): Loop | undefined {
  const ways = [...region.refs].flatMap((ref): Loop[] => {
    const part = bench.view.parts.get(ref);
    const ends = part && endsOf(part);
    if (part?.class !== 'resistor' || ends === undefined) return [];
    const [one, other] = ends;
    if (isSecondary(one) === isSecondary(other)) return [];
    return [{ ref, tap: isSecondary(one) ? one : other, at: isSecondary(one) ? other : one }];
  });
  return ways.length === 1 ? ways[0] : undefined;
}

const TAP = 'tap';

function returnOf(bench: PhaseBench, region: SignalRegion, loop: Loop, frequencies: readonly Hertz[]) {
  const circuit = signalElements(bench, { ...region, atRest: [region.input, ...region.atRest] });
  if (!circuit.ok) return undefined;
  const resistance = circuit.value.elements.find(({ name }) => name === loop.ref);
  const held = circuit.value.held.filter(({ kind }) => kind !== 'loop-open');
  // Taken out of the circuit, nothing comes back at all.
  if (resistance?.kind !== 'resistor') return { levels: frequencies.map(() => undefined), held };
  const elements = circuit.value.elements.map((element) =>
    element === resistance ? { ...resistance, from: TAP, to: loop.at } : element,
  );
  const response = transfer({ elements }, { plus: TAP }, { plus: loop.at }, frequencies);
  return response.ok ? { levels: levelsOf(response.value), held } : undefined;
}

/** The circuit around the changed part, with the part itself as it was and as it is. */
function findWideRegion({ before, after, was, is }: States): SignalRegion | undefined {
  const starts = [...new Set([...(was?.terminals.values() ?? []), ...(is?.terminals.values() ?? [])])];
  const region = findSignalRegion(is === undefined ? before : after, starts);
  if (!region.ok) return undefined;
  const refs = new Set([...region.value.refs, ...(was ? [was.ref] : []), ...(is ? [is.ref] : [])]);
  return { ...region.value, refs };
}

/** Two columns of levels side by side, with what moved. */
export function besideEachOther(
  frequencies: readonly Hertz[],
  before: readonly (number | undefined)[],
  after: readonly (number | undefined)[],
): readonly LevelAt[] {
  return frequencies.map((frequency, i) => {
    const [first, second] = [before[i], after[i]];
    return {
      frequency: quantity(frequency, 'Hz'),
      ...(first !== undefined && { before: quantity(first, 'dB') }),
      ...(second !== undefined && { after: quantity(second, 'dB') }),
      ...(first !== undefined && second !== undefined && { change: quantity(second - first, 'dB') }),
    };
  });
}

/** Levels from where the region is driven to where it is heard. */
function respond(bench: PhaseBench, region: SignalRegion, frequencies: readonly Hertz[]) {
  const circuit = signalElements(bench, region);
  if (!circuit.ok) return undefined;
  const { elements, held } = circuit.value;
  const response = transfer({ elements }, { plus: region.input }, { plus: region.output }, frequencies);
  return response.ok ? { levels: levelsOf(response.value), held } : undefined;
}
