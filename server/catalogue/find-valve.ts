/** Owns the look-up of a valve by what a technician calls it, with a shop's own types before the built-in ones. */
import type { Valve, ValveSection } from './valve.ts';
import { namesIn, normalName, remarkOnName, spellingDistance, splitSuffix } from './valve-names.ts';
import { VALVES } from './valves.ts';

/** The valve meant, and what is to be said where the name is not exactly its own. */
export interface FoundValve {
  readonly valve: Valve;
  readonly remark?: string;
}

/** More than one valve may be meant, and the difference matters: a question for the writer. Write a choice's `type` to decide. */
export interface UndecidedValve {
  readonly ask: string;
  readonly choices: readonly Valve[];
}

export interface Catalogue {
  /** By any common name, case, spaces and hyphens as one likes; undefined where nothing is known by it. */
  readonly findValve: (text: string) => FoundValve | UndecidedValve | undefined;
  /** Known names that look like it, likeliest first, one a valve. */
  readonly nearestValves: (text: string) => readonly string[];
  readonly listValves: () => readonly Valve[];
}

/** Double triodes whose halves differ, by all their names: no publication-independent order of the halves exists. */
const UNEQUAL_TWINS = new Set(['12DW7', '7247', 'ECC832']);
const UNEQUAL_HALVES = { high: '12DW7-100', low: '12DW7-17' };

/** Nothing longer is a mistyped name, nor a text of several names that stand together. */
const LONGEST_NAME = 20;
const LONGEST_TEXT = 80;

/** A catalogue that knows `extra` too; an extra valve's names win over a built-in valve's. */
export function withExtraValves(extra: readonly Valve[]): Catalogue {
  const byName = new Map<string, { readonly valve: Valve; readonly name: string }>();
  const enter = (valve: Valve, name: string) => {
    const normal = normalName(name);
    if (normal !== '' && !byName.has(normal)) byName.set(normal, { valve, name });
  };
  for (const list of [extra, VALVES]) {
    // Types before synonyms, so that no synonym hides a valve of that name.
    for (const valve of list) enter(valve, valve.type);
    for (const valve of list) for (const name of valve.synonyms) enter(valve, name);
  }
  const own = new Set(extra.flatMap((valve) => [valve.type, ...valve.synonyms].map(normalName)));
  const names = [...byName.keys()];
  const valves = [...new Set([...byName.values()].map(({ valve }) => valve))];

  const findOne = (text: string): FoundValve | UndecidedValve | undefined => {
    const name = normalName(text);
    const exact = byName.get(name);
    if (exact !== undefined) return found(exact.valve, own.has(name) ? undefined : remarkOnName(name));
    const half = findHalf(name);
    if (half !== undefined) return half;
    const split = splitSuffix(text, names);
    const plain = split && byName.get(split.known);
    if (split === undefined || plain === undefined) return undefined;
    return found(plain.valve, remarkOnSuffix(text.trim(), plain.valve, split.suffix));
  };

  /** `12DW7`, `7247-17`, `ECC832A`, `12DW7 µ100`. */
  const findHalf = (name: string): FoundValve | UndecidedValve | undefined => {
    const twin = [...UNEQUAL_TWINS].find((each) => name.startsWith(each));
    if (twin === undefined) return undefined;
    const high = byName.get(normalName(UNEQUAL_HALVES.high))?.valve;
    const low = byName.get(normalName(UNEQUAL_HALVES.low))?.valve;
    if (high === undefined || low === undefined) return undefined;
    const rest = name.slice(twin.length);
    const written = /^(?:[µμΜM]U?)?(100|17)$/u.exec(rest)?.[1];
    if (written !== undefined) return found(written === '100' ? high : low);
    if (!/^[A-Z]{0,3}$/.test(rest)) return undefined;
    return {
      ask: `Which half of the ${twin} is this? One amplifies like a 12AX7 (µ 100), the other like a 12AU7 (µ 17), and which has pins 6, 7 and 8 differs between makes: write ${high.type} or ${low.type}.`,
      choices: [high, low],
    };
  };

  const findValve: Catalogue['findValve'] = (text) => {
    if (text.length > LONGEST_TEXT) return undefined;
    const written = namesIn(text);
    if (written.length === 0) return undefined;
    // Of a text with a separator, `6V6GT/G` or `12DW7/100`, the whole may be one name.
    const whole = normalName(text);
    if (written.length === 1 || byName.has(whole) || !/[/(),=]/u.test(text)) {
      const one = findOne(text);
      if (one !== undefined || written.length === 1) return one;
    }
    if ([...UNEQUAL_TWINS].some((twin) => whole.startsWith(twin))) {
      const half = findHalf(whole);
      if (half !== undefined) return half;
    }
    return reconcile(text.trim(), written, written.map(findOne));
  };

  const nearestValves: Catalogue['nearestValves'] = (text) => {
    const wanted = normalName(text);
    if (wanted.length > LONGEST_NAME) return [];
    const furthest = Math.max(1, Math.floor(wanted.length / 3));
    const near = [...byName]
      .filter(([normal]) => Math.abs(normal.length - wanted.length) <= furthest)
      .map(([normal, entry]) => ({ ...entry, distance: spellingDistance(wanted, normal) }))
      .filter(({ distance }) => distance <= furthest)
      .sort((a, b) => a.distance - b.distance);
    const seen = new Set<Valve>();
    const suggestions: string[] = [];
    for (const { valve, name } of near) {
      if (seen.has(valve)) continue;
      seen.add(valve);
      suggestions.push(name);
    }
    return suggestions.slice(0, 5);
  };

  return { findValve, nearestValves, listValves: () => valves };
}

export const builtInCatalogue: Catalogue = withExtraValves([]);

/** Whether a twin's halves have no name that all publications agree on: only its pins tell them apart. */
export function sectionsAreAmbiguous(valve: Valve): boolean {
  return valve.sections.length > 1;
}

/** What comes out at a pin: an electrode and its section; undefined for heater, empty and internally connected pins. */
export function findElectrode(
  valve: Valve,
  pin: number,
): { readonly section: ValveSection; readonly electrode: string } | undefined {
  for (const section of valve.sections) {
    for (const [electrode, pins] of Object.entries(section.pins)) {
      if (pins.includes(pin)) return { section, electrode };
    }
  }
  return undefined;
}

function found(valve: Valve, remark?: string): FoundValve {
  return remark === undefined ? { valve } : { valve, remark };
}

function remarkOnSuffix(written: string, valve: Valve, suffix: string): string {
  return `${written} is taken as ${valve.type}: nothing is known here of the suffix ${suffix}, and its maker’s sheet may allow more or less.`;
}

/** One answer of several names that stand together. */
function reconcile(
  text: string,
  written: readonly string[],
  answers: readonly (FoundValve | UndecidedValve | undefined)[],
): FoundValve | UndecidedValve | undefined {
  const undecided = answers.find((answer) => answer !== undefined && 'ask' in answer);
  if (undecided !== undefined) return undecided;
  const hits = answers.flatMap((answer, i) =>
    answer !== undefined && 'valve' in answer ? [{ ...answer, name: written[i] ?? '' }] : [],
  );
  const first = hits[0];
  if (first === undefined) return undefined;
  const valves = [...new Set(hits.map(({ valve }) => valve))];
  const types = valves.map(({ type }) => type).join(' and ');
  if (valves.length > 1 && !valves.every((valve) => hasSamePins(valve, first.valve))) {
    return {
      ask: `${text} names ${types}, which have different pins: which one is fitted?`,
      choices: valves,
    };
  }
  const lowest = valves.reduce((a, b) => (anodeWatts(b) < anodeWatts(a) ? b : a), first.valve);
  const unknown = written.filter((_, i) => answers[i] === undefined);
  const remarks = [
    ...(valves.length > 1 ? [`${text} names ${types}; the lower limits, of ${lowest.type}, are used.`] : []),
    ...hits.filter(({ valve }) => valve === lowest).flatMap(({ remark }) => remark ?? []),
    ...(unknown.length > 0
      ? [`${text} is taken as ${lowest.type}: nothing is known here of ${unknown.join(', ')}.`]
      : []),
  ];
  return found(lowest, remarks.length > 0 ? remarks.join(' ') : undefined);
}

function anodeWatts(valve: Valve): number {
  return valve.limits.anodeDissipation?.value ?? 0;
}

/** Whether one goes into the other's socket with every electrode in its place. */
export function hasSamePins(a: Valve, b: Valve): boolean {
  const pinsOf = (valve: Valve) =>
    JSON.stringify(valve.sections.map(({ pins }) => Object.entries(pins).sort()));
  return pinsOf(a) === pinsOf(b);
}
