/**
 * Owns the valves of one amplifier in one phase: which envelope has which type and sections, and which electrode a pin is.
 */
import { type Catalogue, findElectrode as electrodeAtPin } from '../catalogue/find-valve.ts';
import type { Valve, ValveSection } from '../catalogue/valve.ts';
import type { Point, Ref, Specification } from '../dialect/tree.ts';
import { isSameList } from '../sheet/keeping.ts';
import type { Statement } from '../sheet/model.ts';
import { type FittedPhase, type Fitting, PHASE_ORDER } from './fitting.ts';
import type { FittedPart } from './model.ts';
import { compareNames, type FindElectrode, NAME_RANKS, normalTerminal } from './points.ts';

/** An envelope: `V1` with its type, and the refs of its sections as far as the sheets use them. */
export interface Envelope {
  readonly whole: string;
  readonly type?: NonNullable<FittedPart['type']>;
  readonly sections: readonly string[];
}

export interface Valves {
  readonly envelopes: ReadonlyMap<string, Envelope>;
  readonly findElectrode: FindElectrode;
  /** Every electrode that is known to exist: `V5.a`. */
  readonly electrodes: readonly string[];
  readonly sectionOf: (ref: string) => ValveSection | undefined;
  /** Refs of sections that no line fits by themselves but readings or connections name: `V1A` of a fitted `V1`, or its pins. */
  readonly unsaid: readonly Ref[];
  /** Electrodes of halves that no letter is used of, and the pins that the sheet calls them by. */
  readonly pinned: readonly PinnedElectrode[];
}

/** `V1 pins 6 7 8.a` is `V1.6`. */
export interface PinnedElectrode {
  readonly name: string;
  readonly pin: string;
}

/** How a sheet speaks of the halves of an envelope without a letter. */
interface WholeTalk {
  readonly ref: Ref;
  readonly pins: ReadonlySet<number>;
  /** Whether it is spoken of by electrodes as well (`V1.a`), so that it is one valve to its writer. */
  readonly isOne: boolean;
}

/** What the sheets of an amplifier say of valves, whoever fits them: the valves of every phase are read by it. */
export interface TalkOfValves {
  /** Every ref of a valve that is named. */
  readonly named: ReadonlyMap<string, Ref>;
  /** The pin that tells which half of its envelope a section is, by section ref. */
  readonly pins: ReadonlyMap<string, number>;
  /** The envelopes that pins are named of, by whole ref. */
  readonly wholes: ReadonlyMap<string, WholeTalk>;
  /** All of it in lists: where the same stands in them, the same was said. */
  readonly told: readonly (readonly unknown[])[];
}

export function talkOfValves(statements: readonly Statement[]): TalkOfValves {
  const named = valveRefsIn(statements);
  const pins = pinsOfSections(statements);
  const wholes = pinsOfWholes(statements);
  const ofWholes: unknown[] = [];
  for (const [whole, talk] of wholes) ofWholes.push(whole, talk.isOne, ...talk.pins);
  return { named, pins, wholes, told: [[...named.keys()], [...pins].flat(), ofWholes] };
}

/** Every ref of a valve that the statements name, once each. */
function valveRefsIn(statements: Iterable<Statement>): ReadonlyMap<string, Ref> {
  const refs = new Map<string, Ref>();
  for (const statement of statements)
    for (const point of pointsOf(statement)) {
      const ref = refAt(point);
      if (ref?.class === 'valve' && !refs.has(ref.name)) refs.set(ref.name, ref);
    }
  return refs;
}

/** The envelopes that pins are named of, by whole ref. */
function pinsOfWholes(statements: Iterable<Statement>): ReadonlyMap<string, WholeTalk> {
  const talks = new Map<string, { ref: Ref; pins: Set<number>; isOne: boolean }>();
  const talkOf = (ref: Ref) => {
    const known = talks.get(ref.whole);
    const talk = known ?? { ref, pins: new Set<number>(), isOne: false };
    if (known === undefined) talks.set(ref.whole, talk);
    return talk;
  };
  for (const statement of statements) {
    const hung =
      statement.kind === 'fitted' || statement.kind === 'change'
        ? statement.connections.some(({ kind }) => kind === 'hangs')
        : false;
    if (hung && 'ref' in statement && statement.ref.class === 'valve' && statement.ref.section === undefined)
      talkOf(statement.ref).isOne = true;
    for (const point of pointsOf(statement)) {
      if (point.kind !== 'terminal' || point.ref.class !== 'valve' || point.ref.section !== undefined)
        continue;
      const talk = talkOf(point.ref);
      if (point.by === 'pin') talk.pins.add(Number(point.terminal));
      else if (ELECTRODES.has(normalTerminal('valve', point.terminal))) talk.isOne = true;
    }
  }
  for (const [whole, { pins }] of talks) if (pins.size === 0) talks.delete(whole);
  return talks;
}

const ELECTRODES: ReadonlySet<string> = new Set(['a', 'g', 'k']);

/** A house's convention: which of the catalogue's sections (`1` is the American unit 1) a section letter is. */
export type SectionConvention = Readonly<Record<string, string>>;

/** Which section of the catalogue's twin is `V1A`: said by `V1A: pin 6 …` or `V1A.a = V1.6`. By section ref, a pin that is its own. */
function pinsOfSections(statements: Iterable<Statement>): ReadonlyMap<string, number> {
  const pins = new Map<string, number>();
  for (const statement of statements) {
    if (statement.kind === 'wire') {
      const { from, to } = statement;
      for (const [one, other] of [
        [from, to],
        [to, from],
      ] as const) {
        if (one.kind !== 'terminal' || other.kind !== 'terminal') continue;
        if (one.ref.section === undefined || one.by === 'pin' || other.by !== 'pin') continue;
        if (one.ref.whole === other.ref.whole) pins.set(one.ref.name, Number(other.terminal));
      }
    } else if (statement.kind === 'reading' && statement.at.kind === 'terminal') {
      const { ref, by, terminal } = statement.at;
      if (by === 'pin' && ref.section !== undefined) pins.set(ref.name, Number(terminal));
    }
  }
  return pins;
}

/**
 * All that a statement says of valves, as far as `talkOfValves` goes by it; undefined where it says nothing of any.
 */
export function valveTalkOf(statement: Statement): string | undefined {
  let talk = '';
  for (const point of pointsOf(statement)) {
    const ref = refAt(point);
    if (ref?.class !== 'valve') continue;
    talk += ` ${ref.name}/${ref.whole}`;
    if (point.kind === 'terminal') talk += `.${point.by}.${point.terminal}`;
  }
  if (talk === '') return undefined;
  const isFitting = statement.kind === 'fitted' || statement.kind === 'change';
  const isHung = isFitting && statement.connections.some(({ kind }) => kind === 'hangs');
  return `${statement.kind}${isHung ? ` ${statement.ref.name} hung` : ''}${talk}`;
}

/** Whether `valveTalkOf` has anything to tell of it. */
export function speaksOfValves(statement: Statement): boolean {
  switch (statement.kind) {
    case 'reading':
      return isOfValve(statement.at) || (statement.to !== undefined && isOfValve(statement.to));
    case 'fitted':
    case 'change':
      return (
        statement.ref.class === 'valve' ||
        (statement.connections.length > 0 && pointsOf(statement).some(isOfValve))
      );
    default:
      return pointsOf(statement).some(isOfValve);
  }
}

function isOfValve(point: Point): boolean {
  return refAt(point)?.class === 'valve';
}

function refAt(point: Point): Ref | undefined {
  return point.kind === 'ref' ? point : point.kind === 'terminal' ? point.ref : undefined;
}

function pointsOf(statement: Statement): readonly Point[] {
  switch (statement.kind) {
    case 'fitted':
    case 'change': {
      const points: Point[] = [statement.ref];
      for (const connection of statement.connections) {
        if (connection.kind === 'ends') points.push(...connection.from, ...connection.to);
        else if (connection.kind === 'terminal') points.push(connection.to);
        else if (connection.kind === 'hangs') {
          points.push(connection.on);
          if (connection.far !== undefined) points.push(connection.far);
        }
      }
      return points;
    }
    case 'wire':
      return [statement.from, statement.to];
    case 'reading':
      return statement.to === undefined ? [statement.at] : [statement.at, statement.to];
    default:
      return [];
  }
}

/** What of a phase its valves go by. */
export function valvesFitted({ fittings }: FittedPhase): readonly Fitting[] {
  const fitted: Fitting[] = [];
  for (const fitting of fittings.values()) if (fitting.ref.class === 'valve') fitted.push(fitting);
  return fitted;
}

/**
 * The valves of a phase in whose sockets the same types stand as before, with the same sections: their electrodes are found
 * as they were, so that what is tied to them need not be traced again.
 */
export function asBefore(before: Valves | undefined, now: Valves): Valves {
  if (before === undefined || before.envelopes.size !== now.envelopes.size) return now;
  for (const [whole, { type, sections }] of now.envelopes) {
    const was = before.envelopes.get(whole);
    if (was === undefined || was.type?.valve !== type?.valve || !isSameList(was.sections, sections))
      return now;
  }
  const isSame = isSameList(before.electrodes, now.electrodes) && isSameList(before.unsaid, now.unsaid);
  return isSame ? { ...before, envelopes: now.envelopes } : now;
}

/** The valves of a phase, from what is fitted, the refs in use and the pins that sections are said to have. */
export function readValves(
  phase: FittedPhase,
  { named, pins, wholes }: TalkOfValves,
  catalogue: Catalogue,
  convention: SectionConvention = {},
): Valves {
  const { fittings } = phase;
  const fitted = valvesFitted(phase);
  const refsByWhole = new Map<string, Set<string>>();
  for (const ref of [...fitted.map((each) => each.ref), ...named.values()]) {
    const refs = refsByWhole.get(ref.whole) ?? new Set<string>();
    if (ref.section !== undefined) refs.add(ref.name);
    refsByWhole.set(ref.whole, refs);
  }
  const typed = typesByWhole(fitted, catalogue);
  const envelopes = new Map<string, Envelope>();
  for (const whole of [...refsByWhole.keys()].sort(compareNames)) {
    const type = typed.get(whole);
    const sections = [...(refsByWhole.get(whole) ?? [])].sort(compareNames);
    envelopes.set(whole, { whole, type, sections });
  }

  const sections = new Map<string, ValveSection>();
  for (const envelope of envelopes.values()) assignSections(envelope, pins, convention, sections);
  const pinned: PinnedElectrode[] = [];
  const halves: Ref[] = [];
  for (const { whole, type, sections: lettered } of envelopes.values()) {
    const talk = wholes.get(whole);
    if (talk === undefined || talk.isOne || lettered.length > 0 || !type?.valve) continue;
    for (const half of halvesByPins(talk, type.valve, convention)) {
      halves.push(half.ref);
      sections.set(half.ref.name, half.section);
      pinned.push(...half.electrodes);
    }
  }
  const refOfSection = (whole: string, section: ValveSection): string | undefined =>
    envelopes.get(whole)?.sections.find((ref) => sections.get(ref) === section);

  const findElectrode: FindElectrode = (ref, pin) => {
    const valve = envelopes.get(ref.whole)?.type?.valve;
    const hit = valve && electrodeAtPin(valve, pin);
    if (valve === undefined || hit === undefined) return undefined;
    const owner =
      valve.sections.length === 1
        ? ref.name
        : ref.section !== undefined
          ? ref.name
          : refOfSection(ref.whole, hit.section);
    if (owner === undefined) return undefined;
    return { name: `${owner}.${normalTerminal('valve', hit.electrode)}`, rank: NAME_RANKS.electrode };
  };

  const electrodes: string[] = [];
  for (const envelope of envelopes.values()) {
    const valve = envelope.type?.valve;
    if (valve === undefined || (!fittings.has(envelope.whole) && envelope.sections.length === 0)) continue;
    const owners = envelope.sections.length > 0 ? envelope.sections : [envelope.whole];
    const letters = new Set(
      valve.sections.flatMap(({ pins: own }) =>
        Object.keys(own).map((each) => normalTerminal('valve', each)),
      ),
    );
    for (const owner of owners) for (const letter of letters) electrodes.push(`${owner}.${letter}`);
  }

  const isFitted = (whole: string): boolean => fittings.has(whole);
  const unsaid = [...named.values()].filter((ref) => {
    const valve = envelopes.get(ref.whole)?.type?.valve;
    return ref.section !== undefined && valve !== undefined && !fittings.has(ref.name);
  });
  return {
    envelopes,
    findElectrode,
    electrodes,
    sectionOf: (ref) => sections.get(ref),
    unsaid: [...unsaid, ...halves.filter(({ whole }) => isFitted(whole))],
    pinned,
  };
}

/** The halves of a twin that are spoken of by their pins alone: called as the house calls them, else by the pins. */
function halvesByPins(
  { ref, pins }: WholeTalk,
  { sections }: Valve,
  convention: SectionConvention,
): readonly { ref: Ref; section: ValveSection; electrodes: readonly PinnedElectrode[] }[] {
  if (sections.length < 2) return [];
  return sections.flatMap((section) => {
    const own = Object.entries(section.pins).flatMap(([electrode, at]) =>
      at.map((pin) => ({ electrode: normalTerminal('valve', electrode), pin })),
    );
    if (!own.some(({ pin }) => pins.has(pin))) return [];
    const letter = Object.keys(convention).find((each) => convention[each] === section.name);
    const said = own.map(({ pin }) => pin).sort((a, b) => a - b);
    const called = letter === undefined ? `${ref.whole} pins ${said.join(' ')}` : `${ref.whole}${letter}`;
    return [
      {
        ref: { ...ref, name: called, section: letter ?? said.join(' ') },
        section,
        electrodes: own.map(({ electrode, pin }) => ({
          name: `${called}.${electrode}`,
          pin: `${ref.whole}.${pin}`,
        })),
      },
    ];
  });
}

/** The type that was fitted last: of one phase the whole valve's own goes before a section's. */
function typesByWhole(
  fitted: readonly Fitting[],
  catalogue: Catalogue,
): ReadonlyMap<string, NonNullable<FittedPart['type']>> {
  const types = new Map<string, NonNullable<FittedPart['type']>>();
  const when = ({ since }: Fitting): number => PHASE_ORDER.indexOf(since);
  const inOrder = [...fitted].sort((a, b) => when(b) - when(a) || compareNames(a.ref.name, b.ref.name));
  for (const { ref, specification, specificationSource } of inOrder) {
    const type = specification?.type;
    if (type === undefined || specificationSource === undefined || types.has(ref.whole)) continue;
    types.set(ref.whole, typeFrom(type, specificationSource.file, catalogue));
  }
  return types;
}

/** A type as written, with the catalogue's entry where it knows it. */
export function typeFrom(
  { text, span }: NonNullable<Specification['type']>,
  file: string,
  catalogue: Catalogue,
): NonNullable<FittedPart['type']> {
  const answer = catalogue.findValve(text);
  const isAsked = answer !== undefined && 'ask' in answer;
  return {
    text,
    source: { file, span },
    valve: isAsked ? undefined : answer?.valve,
    remark: isAsked ? answer.ask : answer?.remark,
  };
}

function assignSections(
  { whole, type, sections }: Envelope,
  pins: ReadonlyMap<string, number>,
  convention: SectionConvention,
  into: Map<string, ValveSection>,
): void {
  const valve = type?.valve;
  if (valve === undefined) return;
  const [only, second] = valve.sections;
  if (only !== undefined && second === undefined) {
    for (const ref of [whole, ...sections]) into.set(ref, only);
    return;
  }
  for (const ref of sections) {
    const pin = pins.get(ref);
    const hit = pin === undefined ? undefined : electrodeAtPin(valve, pin);
    const letter = ref.slice(whole.length).toUpperCase();
    const section = hit?.section ?? valve.sections.find(({ name }) => name === convention[letter]);
    if (section !== undefined) into.set(ref, section);
  }
  // With one half placed, the other is what is left.
  const placed = sections.filter((ref) => into.has(ref));
  const open = sections.filter((ref) => !into.has(ref));
  const [first] = placed;
  const [last] = open;
  if (valve.sections.length === 2 && placed.length === 1 && open.length === 1 && first && last) {
    const other = valve.sections.find((section) => section !== into.get(first));
    if (other !== undefined) into.set(last, other);
  }
}
