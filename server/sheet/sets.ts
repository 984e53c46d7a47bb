/**
 * Owns which readings were taken together: standing conditions, conditions of one tag, the mains, and the sets that
 * follow. It knows conditions and phases, not what was read.
 */
import type { Condition } from '../dialect/tree.ts';
import type { Span } from '../text/span.ts';
import { spanReaching } from '../text/span.ts';
import { quantity } from '../units/si.ts';
import { isSameList } from './keeping.ts';
import type { Phase, ReadingSet } from './model.ts';

/** A mains reading that differs by more than this from the last starts another set. */
const MAINS_DRIFT = 0.03;
/** A variac this near the nominal mains limits nothing. */
const VARIAC_FULL = 0.95;

/** Readings being sorted into sets, in the order of the note. */
export interface SetBook {
  /** A heading: what was standing holds no longer. */
  readonly endStanding: () => void;
  /** Condition words of a passage: they hold until the next ones. */
  readonly stand: (conditions: readonly Condition[], phase: Phase) => void;
  /** What the meter said of the mains, and where. */
  readonly readMains: (phase: Phase, volts: number, span: Span) => void;
  /** The id of the set that a reading belongs to; `isRunning` if it can only be read with the amplifier running. */
  readonly place: (phase: Phase, own: readonly Condition[], span: Span, isRunning: boolean) => number;
  /** The set that something which is no reading stands beside: of the same conditions, else the phase's last; 0 for none. */
  readonly beside: (phase: Phase, own: readonly Condition[]) => number;
  /** What holds behind all that was sorted so far: the very state that the book began with where nothing changed it. */
  readonly state: () => BookState;
  /** What was sorted since the book began. */
  readonly page: () => BookPage;
  readonly sets: () => readonly ReadingSet[];
}

/** All that the sorting of further readings depends on. Never changed: a change makes another. */
export interface BookState {
  readonly standing: readonly Condition[];
  /** What `same conditions` means: the last conditions of normal running that were written, else the last at all. */
  readonly remembered: readonly Condition[];
  readonly mainsOf: ReadonlyMap<Phase, Mains>;
  readonly mainsOfEpoch: ReadonlyMap<string, number>;
  /** Ids of sets, by what makes their conditions equal. */
  readonly ids: ReadonlyMap<string, number>;
  readonly lastOfPhase: ReadonlyMap<Phase, number>;
}

/** What one stretch of a note adds to each set that it has readings of, and where it says the mains last, by epoch. */
export interface BookPage {
  readonly entries: ReadonlyMap<number, Entry>;
  readonly mainsAt: ReadonlyMap<string, Span>;
}

interface Entry {
  /** Where this is the first that is heard of the set. */
  readonly draft?: Draft;
  first: Span;
  last: Span;
  /** Whether anything in it was read with the amplifier running. */
  hasRunning: boolean;
}

interface Draft {
  readonly phase: Phase;
  readonly conditions: readonly Condition[];
  /** Own mains of a reading's condition, else the epoch's. */
  readonly ownMains: { readonly volts: number; readonly span: Span } | undefined;
  readonly epoch: string;
}

/** What decides the set of a reading, in one word and in full. */
interface Keyed {
  readonly key: string;
  readonly conditions: readonly Condition[];
  readonly ownMains: Draft['ownMains'];
}

/** Mains volts of one phase, and how often they jumped. */
interface Mains {
  readonly epoch: number;
  readonly volts?: number;
}

export const NEW_BOOK: BookState = {
  standing: [],
  remembered: [],
  mainsOf: new Map(),
  mainsOfEpoch: new Map(),
  ids: new Map(),
  lastOfPhase: new Map(),
};

export function createSetBook(nominalMains: number | undefined, from: BookState = NEW_BOOK): SetBook {
  let state = from;
  const entries = new Map<number, Entry>();
  const mainsAt = new Map<string, Span>();

  const change = (to: Partial<BookState>): void => {
    state = { ...state, ...to };
  };
  const epochOf = (phase: Phase): string => `${phase} ${state.mainsOf.get(phase)?.epoch ?? 0}`;

  const readMains = (phase: Phase, volts: number, span: Span): void => {
    const last = state.mainsOf.get(phase);
    const jumped = last?.volts !== undefined && differs(volts, last.volts);
    if (last === undefined || jumped || last.volts !== volts) {
      change({
        mainsOf: withEntry(state.mainsOf, phase, { epoch: (last?.epoch ?? 0) + (jumped ? 1 : 0), volts }),
      });
    }
    const epoch = epochOf(phase);
    if (state.mainsOfEpoch.get(epoch) !== volts)
      change({ mainsOfEpoch: withEntry(state.mainsOfEpoch, epoch, volts) });
    mainsAt.set(epoch, span);
  };

  const expand = (conditions: readonly Condition[]): readonly Condition[] => {
    if (!conditions.some(({ kind }) => kind === 'same')) return conditions;
    return combine(
      state.remembered,
      conditions.filter(({ kind }) => kind !== 'same'),
    );
  };

  /** Of the last reading without conditions of its own: most follow another. */
  let last:
    | { phase: Phase; standing: readonly Condition[]; mainsOf: BookState['mainsOf']; keyed: Keyed }
    | undefined;
  const keyFor = (phase: Phase, own: readonly Condition[]): Keyed => {
    if (own.length > 0) return makeKey(phase, own);
    const { standing, mainsOf } = state;
    if (last?.phase === phase && last.standing === standing && last.mainsOf === mainsOf) return last.keyed;
    const keyed = makeKey(phase, own);
    last = { phase, standing, mainsOf, keyed };
    return keyed;
  };

  const makeKey = (phase: Phase, own: readonly Condition[]): Keyed => {
    const conditions = combine(state.standing, expand(own).filter(isNotMains));
    const written = mainsIn(own);
    const present = state.mainsOf.get(phase)?.volts;
    const ownMains =
      written !== undefined && (present === undefined || differs(written.volts, present))
        ? written
        : undefined;
    const key = `${epochOf(phase)} ${ownMains?.volts ?? ''} ${keyOf(conditions)}`;
    return { key, conditions, ownMains };
  };

  const enter = (id: number, span: Span, isRunning: boolean, draft?: Draft): void => {
    const entry = entries.get(id);
    if (entry === undefined) {
      entries.set(id, {
        draft,
        first: span,
        last: span,
        hasRunning: isRunning,
      });
      return;
    }
    if (span.start < entry.first.start) entry.first = span;
    if (span.end > entry.last.end) entry.last = span;
    entry.hasRunning ||= isRunning;
  };

  return {
    endStanding: () => {
      if (state.standing.length > 0) change({ standing: [] });
    },
    stand: (conditions, phase) => {
      const mains = mainsIn(conditions);
      if (mains !== undefined) readMains(phase, mains.volts, mains.span);
      const standing = combine([], expand(conditions).filter(isNotMains));
      if (!isSameList(standing, state.standing)) change({ standing });
      const saysItself = !conditions.some(({ kind }) => kind === 'same') && standing.length > 0;
      if (
        saysItself &&
        (isNormal(standing, nominalMains) || !isNormal(state.remembered, nominalMains)) &&
        !isSameList(standing, state.remembered)
      )
        change({ remembered: standing });
    },
    readMains,
    place: (phase, own, span, isRunning) => {
      const { key, conditions, ownMains } = keyFor(phase, own);
      const known = state.ids.get(key);
      const id = known ?? state.ids.size + 1;
      if (known === undefined) {
        change({ ids: withEntry(state.ids, key, id) });
        enter(id, span, isRunning, {
          phase,
          conditions,
          ownMains,
          epoch: epochOf(phase),
        });
      } else enter(id, span, isRunning);
      if (state.lastOfPhase.get(phase) !== id)
        change({ lastOfPhase: withEntry(state.lastOfPhase, phase, id) });
      return id;
    },
    beside: (phase, own) => state.ids.get(keyFor(phase, own).key) ?? state.lastOfPhase.get(phase) ?? 0,
    state: () => state,
    page: () => ({ entries, mainsAt }),
    sets: () => collectSets([{ entries, mainsAt }], state, nominalMains, new Map()),
  };
}

function withEntry<K, V>(map: ReadonlyMap<K, V>, key: K, value: V): ReadonlyMap<K, V> {
  return new Map(map).set(key, value);
}

/** Whether what follows is sorted alike. */
export function isSameState(one: BookState, other: BookState): boolean {
  return (
    one === other ||
    (isSameList(one.standing, other.standing) &&
      isSameList(one.remembered, other.remembered) &&
      isSameMap(one.ids, other.ids) &&
      isSameMap(one.lastOfPhase, other.lastOfPhase) &&
      isSameMap(one.mainsOfEpoch, other.mainsOfEpoch) &&
      isSameMap(one.mainsOf, other.mainsOf, (a, b) => a.epoch === b.epoch && a.volts === b.volts))
  );
}

function isSameMap<K, V>(
  one: ReadonlyMap<K, V>,
  other: ReadonlyMap<K, V>,
  isSame: (a: V, b: V) => boolean = Object.is,
): boolean {
  if (one === other) return true;
  if (one.size !== other.size) return false;
  for (const [key, value] of one) {
    const there = other.get(key);
    if (there === undefined || !isSame(value, there)) return false;
  }
  return true;
}

/** Sets as they were collected last, by id, and from where to where each reaches. */
export type KeptSets = Map<number, { readonly set: ReadingSet; readonly reach: Reach }>;

interface Reach {
  first: Span;
  last: Span;
  /** Where the mains that holds for it is written. */
  mains?: Span;
}

/**
 * The sets of a note from the pages of its pieces in order, and the state behind the last. One that is as it was in `kept`
 * stays the same object, though it may reach further now.
 */
export function collectSets(
  pages: Iterable<BookPage>,
  { mainsOfEpoch }: BookState,
  nominalMains: number | undefined,
  kept: KeptSets,
): readonly ReadingSet[] {
  const found = new Map<number, { readonly draft: Draft; hasRunning: boolean; readonly reach: Reach }>();
  const mainsAt = new Map<string, Span>();
  for (const page of pages) {
    for (const [epoch, span] of page.mainsAt) mainsAt.set(epoch, span);
    for (const [id, { draft, first, last, hasRunning }] of page.entries) {
      const there = found.get(id);
      if (there === undefined) {
        if (draft !== undefined) found.set(id, { draft, hasRunning, reach: { first, last } });
        continue;
      }
      there.hasRunning ||= hasRunning;
      if (first.start < there.reach.first.start) there.reach.first = first;
      if (last.end > there.reach.last.end) there.reach.last = last;
    }
  }
  const sets: ReadingSet[] = [];
  for (const [id, { draft, hasRunning, reach }] of found) {
    const { phase, conditions, ownMains, epoch } = draft;
    const volts = ownMains?.volts ?? mainsOfEpoch.get(epoch);
    const mains = volts === undefined ? undefined : (ownMains?.span ?? mainsAt.get(epoch));
    if (mains !== undefined) reach.mains = mains;
    const said: Omit<ReadingSet, 'span' | 'mainsSpan'> = {
      id,
      phase,
      conditions,
      mains: volts === undefined ? undefined : quantity(volts, 'V'),
      limited: isLimited(conditions, nominalMains),
      off: isOff(conditions),
      normal: hasRunning && isNormal(conditions, nominalMains),
    };
    const before = kept.get(id);
    if (before !== undefined && isSameSet(before.set, said)) {
      Object.assign(before.reach, reach);
      sets.push(before.set);
      continue;
    }
    const set: ReadingSet = {
      ...said,
      mainsSpan: volts === undefined || mains === undefined ? undefined : spanOfMains(reach, mains),
      span: spanReaching(reach),
    };
    kept.set(id, { set, reach });
    sets.push(set);
  }
  return sets;
}

/** Where the mains is written at the moment; a set that stays the same object may hear of it elsewhere. */
function spanOfMains(reach: Reach, first: Span): Span {
  return {
    get start() {
      return (reach.mains ?? first).start;
    },
    get end() {
      return (reach.mains ?? first).end;
    },
  };
}

function isSameSet(set: ReadingSet, said: Omit<ReadingSet, 'span' | 'mainsSpan'>): boolean {
  return (
    set.phase === said.phase &&
    isSameList(set.conditions, said.conditions) &&
    set.mains?.value === said.mains?.value &&
    set.limited === said.limited &&
    set.off === said.off &&
    set.normal === said.normal
  );
}

function differs(volts: number, from: number): boolean {
  return Math.abs(volts - from) > MAINS_DRIFT * Math.abs(from);
}

function isNotMains({ kind }: Condition): boolean {
  return kind !== 'mains';
}

function mainsIn(
  conditions: readonly Condition[],
): { readonly volts: number; readonly span: Span } | undefined {
  const written = conditions.findLast(({ kind, value }) => kind === 'mains' && value !== undefined);
  return written?.value && { volts: written.value.value, span: written.span };
}

/** Conditions of which only one can hold at a time: the later one written replaces the earlier. */
const ONE_OF: readonly (readonly Condition['kind'][])[] = [
  ['in-play', 'in-standby', 'standby-on', 'off', 'discharged'],
  ['cold', 'hot'],
  ['no-signal', 'signal', 'clipping'],
  ['dummy-load', 'speaker', 'no-load'],
  ['in-circuit', 'out-of-circuit'],
  ['lamp'],
  ['variac'],
];

const GROUP_OF: ReadonlyMap<Condition['kind'], number> = new Map(
  ONE_OF.flatMap((kinds, group) => kinds.map((kind) => [kind, group] as const)),
);

/** Conditions that hold already, with `more` on top. */
function combine(held: readonly Condition[], more: readonly Condition[]): readonly Condition[] {
  if (more.length === 0) return held;
  const bySlot = new Map<string, Condition>();
  for (const condition of [...held, ...more]) {
    const group = GROUP_OF.get(condition.kind);
    const hasOneValue = condition.kind === 'setting' || condition.kind === 'warm-up';
    const slot = group === undefined ? keyOfCondition(condition, hasOneValue) : String(group);
    bySlot.delete(slot);
    bySlot.set(slot, condition);
  }
  return [...bySlot.values()];
}

/** What makes two sets' conditions equal, whatever their order. */
function keyOf(conditions: readonly Condition[]): string {
  return conditions
    .map((condition) => keyOfCondition(condition, false))
    .sort()
    .join(';');
}

function keyOfCondition({ kind, refs, value, words }: Condition, withoutValue: boolean): string {
  const names = refs.map(({ name }) => name).sort();
  const number = withoutValue || value === undefined ? '' : `${value.value}${value.unit}`;
  return `${kind} ${names.join(',')} ${number} ${kind === 'named' ? words.toLowerCase() : ''}`;
}

function isLimited(conditions: readonly Condition[], nominalMains: number | undefined): boolean {
  return conditions.some(({ kind, value }) => {
    if (kind === 'lamp') return true;
    if (kind !== 'variac') return false;
    // Where nobody says what mains the amplifier is made for, a variac is taken to hold it back.
    return value === undefined || nominalMains === undefined || value.value < VARIAC_FULL * nominalMains;
  });
}

function isOff(conditions: readonly Condition[]): boolean {
  return conditions.some(({ kind }) => kind === 'off' || kind === 'discharged');
}

/** Conditions under which readings are evidence, not what the amplifier idles at. */
const NOT_IDLING: ReadonlySet<Condition['kind']> = new Set([
  'in-standby',
  'standby-on',
  'cold',
  'out',
  'lifted',
  'swapped',
  'signal',
  'clipping',
  'in-circuit',
  'out-of-circuit',
]);

function isNormal(conditions: readonly Condition[], nominalMains: number | undefined): boolean {
  if (isLimited(conditions, nominalMains) || isOff(conditions)) return false;
  return !conditions.some(({ kind }) => NOT_IDLING.has(kind));
}
