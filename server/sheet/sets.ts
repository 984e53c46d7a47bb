/**
 * Owns which readings were taken together: standing conditions, conditions of one tag, the mains, and the sets that
 * follow. It knows conditions and phases, not what was read.
 */
import type { Condition } from '../dialect/tree.ts';
import type { Span } from '../text/span.ts';
import { cover } from '../text/span.ts';
import { quantity } from '../units/si.ts';
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
  readonly readMains: (phase: Phase, volts: number) => void;
  /** The id of the set that a reading belongs to; `isRunning` if it can only be read with the amplifier running. */
  readonly place: (phase: Phase, own: readonly Condition[], span: Span, isRunning: boolean) => number;
  /** The set that something which is no reading stands beside: of the same conditions, else the phase's last; 0 for none. */
  readonly beside: (phase: Phase, own: readonly Condition[]) => number;
  readonly sets: () => ReadingSet[];
}

interface Draft {
  readonly id: number;
  readonly phase: Phase;
  readonly conditions: readonly Condition[];
  /** Own mains of a reading's condition, else the epoch's. */
  readonly ownMains?: number;
  readonly epoch: string;
  readonly spans: Span[];
  /** Whether anything in it was read with the amplifier running. */
  hasRunning: boolean;
}

/** Mains volts of one phase, and how often they jumped. */
interface Mains {
  readonly epoch: number;
  readonly volts?: number;
}

export function createSetBook(nominalMains: number | undefined): SetBook {
  const drafts = new Map<string, Draft>();
  const lastOfPhase = new Map<Phase, Draft>();
  const mainsOf = new Map<Phase, Mains>();
  const mainsOfEpoch = new Map<string, number>();
  let standing: readonly Condition[] = [];
  /** What `same conditions` means: the last conditions of normal running that were written, else the last at all. */
  let remembered: readonly Condition[] = [];

  const epochOf = (phase: Phase): string => `${phase} ${mainsOf.get(phase)?.epoch ?? 0}`;

  const readMains = (phase: Phase, volts: number): void => {
    const last = mainsOf.get(phase);
    const jumped = last?.volts !== undefined && differs(volts, last.volts);
    mainsOf.set(phase, { epoch: (last?.epoch ?? 0) + (jumped ? 1 : 0), volts });
    mainsOfEpoch.set(epochOf(phase), volts);
  };

  const expand = (conditions: readonly Condition[]): readonly Condition[] => {
    if (!conditions.some(({ kind }) => kind === 'same')) return conditions;
    return combine(
      remembered,
      conditions.filter(({ kind }) => kind !== 'same'),
    );
  };

  const keyFor = (phase: Phase, own: readonly Condition[]) => {
    const conditions = combine(standing, expand(own).filter(isNotMains));
    const written = mainsIn(own);
    const present = mainsOf.get(phase)?.volts;
    const ownMains =
      written !== undefined && (present === undefined || differs(written, present)) ? written : undefined;
    const key = `${epochOf(phase)} ${ownMains ?? ''} ${keyOf(conditions)}`;
    return { key, conditions, ownMains };
  };

  return {
    endStanding: () => {
      standing = [];
    },
    stand: (conditions, phase) => {
      const volts = mainsIn(conditions);
      if (volts !== undefined) readMains(phase, volts);
      standing = combine([], expand(conditions).filter(isNotMains));
      const saysItself = !conditions.some(({ kind }) => kind === 'same') && standing.length > 0;
      if (saysItself && (isNormal(standing, nominalMains) || !isNormal(remembered, nominalMains)))
        remembered = standing;
    },
    readMains,
    place: (phase, own, span, isRunning) => {
      const { key, conditions, ownMains } = keyFor(phase, own);
      let draft = drafts.get(key);
      if (draft === undefined) {
        const id = drafts.size + 1;
        draft = { id, phase, conditions, ownMains, epoch: epochOf(phase), spans: [], hasRunning: false };
        drafts.set(key, draft);
      }
      draft.spans.push(span);
      draft.hasRunning ||= isRunning;
      lastOfPhase.set(phase, draft);
      return draft.id;
    },
    beside: (phase, own) => (drafts.get(keyFor(phase, own).key) ?? lastOfPhase.get(phase))?.id ?? 0,
    sets: () =>
      [...drafts.values()].map(
        ({ id, phase, conditions, ownMains, epoch, spans, hasRunning }): ReadingSet => {
          const volts = ownMains ?? mainsOfEpoch.get(epoch);
          return {
            id,
            phase,
            conditions,
            ...(volts === undefined ? {} : { mains: quantity(volts, 'V') }),
            limited: isLimited(conditions, nominalMains),
            off: isOff(conditions),
            normal: hasRunning && isNormal(conditions, nominalMains),
            span: cover(spans) ?? { start: 0, end: 0 },
          };
        },
      ),
  };
}

function differs(volts: number, from: number): boolean {
  return Math.abs(volts - from) > MAINS_DRIFT * Math.abs(from);
}

function isNotMains({ kind }: Condition): boolean {
  return kind !== 'mains';
}

function mainsIn(conditions: readonly Condition[]): number | undefined {
  return conditions.findLast(({ kind, value }) => kind === 'mains' && value !== undefined)?.value?.value;
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
