/**
 * Owns the comparison of two amplifiers part by part: two chassis sheets, a chassis sheet and a job, two jobs, or one sheet at
 * two moments. What is which part is `bench/matching.ts`; here it is said what differs, what the difference does in the first
 * amplifier with all else as it stands there, and what the rules say of one and not of the other. Pure: text comes from outside.
 */

import { type ChangeEffect, effectOf } from '../bench/effects.ts';
import { averageState } from '../bench/expected.ts';
import { type Matching, matchParts, type PartPair } from '../bench/matching.ts';
import type { Amplifier, Figure, FittedPart, PhaseView, Source } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import { namesSince } from '../bench/renumbering.ts';
import { STOPS, stopOf } from '../bench/walk.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { House } from '../rules/house.ts';
import { namesIn } from '../rules/subject.ts';
import type { Phase, Sheet } from '../sheet/model.ts';
import { type ComparedPart, inPlaceOf, type PartBeside, type Verdict } from './compared-part.ts';
import { differencesOf } from './part-differences.ts';
import { type PartNote, partNotes } from './part-notes.ts';
import { type RatingVerdict, ratingVerdicts } from './rating-verdicts.ts';
import { rectifiersInstead } from './replaced-rectifier.ts';
import type { ShopLanguage } from './shop-words.ts';
import { fileName } from './uris.ts';

/** In the order in which they are told. */
const VERDICTS: readonly Verdict[] = ['changed', 'added', 'removed', 'moved', 'same'];

export interface PartComparison extends PartBeside {
  /** In the first amplifier, all else as it stands there; a valve of two halves has one for each that is fitted by itself. */
  readonly effects: readonly ChangeEffect[];
  readonly ratings: readonly RatingVerdict[];
  readonly notes: readonly (PartNote & { readonly of: 'was' | 'is' })[];
  /** A rectifier with others in its place, or those: what they do is told of the one that went, all in one go. */
  readonly instead?: readonly ComparedPart[];
}

/** A point or valve whose solved volts or current differ, all differences together. */
export interface SettledMove {
  /** By its name in the first, and in the second where that is another. */
  readonly subject: string;
  readonly now?: string;
  readonly was: Figure;
  readonly is: Figure;
}

export interface ComparedSheet {
  readonly amplifier: Amplifier;
  /** The state that is compared: of a chassis sheet what it fits, of a job how it ends. Undefined where the sheet fits nothing. */
  readonly phase?: Phase;
  /** A sheet that it rests on cannot be read, so that it may have more parts than are told. */
  readonly isPart?: boolean;
}

export interface Comparison {
  readonly was: ComparedSheet;
  readonly is: ComparedSheet;
  /** By stop, then verdict, then ref. */
  readonly parts: readonly PartComparison[];
  /** Average valves, solved on both sides from the parts alone. */
  readonly settled: readonly SettledMove[];
  /** What the rules say on one side only of points and of parts that are the same in both. */
  readonly otherRatings: readonly RatingVerdict[];
}

export interface CompareOptions {
  readonly catalogue: Catalogue;
  readonly house: House;
}

export function compareAmplifiers(
  was: Amplifier,
  is: Amplifier,
  options: CompareOptions,
  language: ShopLanguage,
): Comparison {
  const [before, after] = [lastState(was), lastState(is)];
  const sides = {
    was: { amplifier: was, ...(before && { phase: before.phase }), ...(!isWhole(was) && { isPart: true }) },
    is: { amplifier: is, ...(after && { phase: after.phase }), ...(!isWhole(is) && { isPart: true }) },
  };
  if (before === undefined || after === undefined)
    return { ...sides, parts: [], settled: [], otherRatings: [] };
  const matching = matchParts(before, after, carriedNames(was, is));
  const notesWas = notesOf(was);
  const notesIs = notesOf(is);
  const bare: readonly PartBeside[] = [
    ...matching.pairs.map((pair) => comparePair(pair, matching, before, after, was, is, language)),
    ...matching.onlyWas.map((part) => lone(part, 'removed', before, was)),
    ...matching.onlyIs.map((part) => lone(part, 'added', after, is)),
  ];
  const ratings = ratingVerdicts([was, before], [is, after], matching, options);
  const told = new Set<RatingVerdict>();
  const parts = bare.map((each): PartComparison => {
    if (each.verdict === 'same') return { ...each, effects: [], ratings: [], notes: [] };
    const own = ratings.filter((rating) => isAboutPart(rating, each));
    for (const rating of own) told.add(rating);
    return {
      ...each,
      effects: each.verdict === 'moved' ? [] : effectsOf(each, matching, before, after, was),
      ...rectifiersInstead(each, bare, { before, after, matching, amplifier: was }),
      ratings: own,
      notes: [
        ...notesFor(notesWas, each.was).map((note) => ({ ...note, of: 'was' as const })),
        ...notesFor(notesIs, each.is).map((note) => ({ ...note, of: 'is' as const })),
      ].filter((note, i, all) => all.findIndex(({ text }) => text === note.text) === i),
    };
  });
  return {
    ...sides,
    parts: parts.sort(inOrderOfWalk),
    settled: settledMoves(was, before, is, after, matching),
    otherRatings: ratings.filter((rating) => !told.has(rating)),
  };
}

/** How an amplifier is in the end: of a chassis sheet the factory's state, of a job the last that is not a mere remark. */
export function lastState({ phases }: Amplifier): PhaseView | undefined {
  return phases.findLast(({ phase }) => phase !== 'noted') ?? phases.at(-1);
}

function inOrderOfWalk(a: PartComparison, b: PartComparison): number {
  return (
    STOPS.indexOf(a.stop) - STOPS.indexOf(b.stop) ||
    VERDICTS.indexOf(a.verdict) - VERDICTS.indexOf(b.verdict) ||
    compareNames(refOf(a), refOf(b))
  );
}

export function refOf({ was, is }: Pick<PartComparison, 'was' | 'is'>): string {
  return (is ?? was)?.part.ref ?? '';
}

function comparePair(
  { was, is, by }: PartPair,
  matching: Matching,
  before: PhaseView,
  after: PhaseView,
  first: Amplifier,
  second: Amplifier,
  language: ShopLanguage,
): PartBeside {
  const differences = differencesOf(was, is, matching, language);
  const isMoved = was.ref !== is.ref;
  return {
    verdict: differences.length > 0 ? 'changed' : isMoved ? 'moved' : 'same',
    stop: stopOf(was, before),
    was: compared(was, before, first),
    is: compared(is, after, second),
    by,
    differences,
  };
}

function lone(
  part: FittedPart,
  verdict: 'added' | 'removed',
  view: PhaseView,
  amplifier: Amplifier,
): PartBeside {
  const own = compared(part, view, amplifier);
  return {
    verdict,
    stop: stopOf(part, view),
    ...(verdict === 'removed' ? { was: own } : { is: own }),
    differences: [],
  };
}

function compared(part: FittedPart, view: PhaseView, { seen }: Amplifier): ComparedPart {
  const role = view.roles.get(part.ref);
  const looked = seen.get(part.ref);
  return { part, ...(role && { role }), ...(looked && { seen: looked }) };
}

/** The sheets of an amplifier, oldest first. */
export function lineageOf({ follows, chassis, sheet }: Amplifier): readonly Sheet[] {
  return [...follows, ...(chassis === undefined ? [] : [chassis]), sheet];
}

/** Whether no sheet is missing that the amplifier's own rest on: what they do not have is not there. */
export function isWhole(amplifier: Amplifier): boolean {
  const [oldest] = lineageOf(amplifier);
  const under = oldest?.field(oldest.kind === 'chassis' ? 'follows' : 'chassis');
  return under === undefined || under.text.trim() === '';
}

/** Refs of the second by those of the first, as the sheets carry them from the last one that both rest on. */
export function carriedNames(was: Amplifier, is: Amplifier): ReadonlyMap<string, string> {
  const [first, second] = [lineageOf(was), lineageOf(is)];
  // The same file with the same text, wherever it was read from: today's folder or an older revision of it.
  const isOne = (a: Sheet, b: Sheet) =>
    fileName(a.uri) === fileName(b.uri) && a.snapshot.text === b.snapshot.text;
  const at = first.findLastIndex((sheet) => second.some((other) => isOne(sheet, other)));
  const common = first[at];
  if (common === undefined)
    return new Map(fileName(was.sheet.uri) === fileName(is.sheet.uri) ? renumberings(is) : []);
  const from = second.findIndex((sheet) => isOne(sheet, common));
  const [nameWas, nameIs] = [namesSince(first.slice(at + 1)), namesSince(second.slice(from + 1))];
  const carried = new Map<string, string>();
  for (const statement of [...first, ...second].flatMap(({ statements }) => statements)) {
    if (statement.kind !== 'fitted' && statement.kind !== 'change' && statement.kind !== 'provenance')
      continue;
    for (const ref of [
      statement.ref,
      ...(statement.kind === 'provenance' && statement.was ? [statement.was] : []),
    ]) {
      const [one, two] = [nameWas(ref), nameIs(ref)];
      if (one !== undefined && two !== undefined && one !== two) carried.set(one, two);
    }
  }
  return carried;
}

/** Of one sheet at two moments: what the later one says it was called before. */
function renumberings({ sheet }: Amplifier): readonly (readonly [string, string])[] {
  return sheet.statements.flatMap((statement) =>
    statement.kind === 'provenance' && statement.was !== undefined && !statement.planned
      ? [[statement.was.name, statement.ref.name] as const]
      : [],
  );
}

type Notes = (ref: string) => readonly PartNote[];

/** What all sheets of an amplifier say of a part, under whatever name it had there. */
function notesOf(amplifier: Amplifier): Notes {
  const sheets = lineageOf(amplifier);
  const byRef = new Map<string, PartNote[]>();
  for (const [i, sheet] of sheets.entries()) {
    const later = sheets.slice(i + 1);
    const rename = namesSince(later);
    const refs = new Map(
      [sheet, ...later]
        .flatMap(({ statements }) => statements)
        .flatMap((each) =>
          each.kind === 'provenance' && each.was ? [[each.was.name, each.was] as const] : [],
        ),
    );
    for (const [name, own] of partNotes(sheet)) {
      const ref = refs.get(name);
      const now = ref === undefined ? name : rename(ref);
      if (now === undefined) continue;
      byRef.set(now, [...(byRef.get(now) ?? []), ...own]);
    }
  }
  return (ref) => byRef.get(ref) ?? [];
}

function notesFor(notes: Notes, of: ComparedPart | undefined): readonly PartNote[] {
  if (of === undefined) return [];
  const { ref, whole } = of.part;
  return whole === ref ? notes(ref) : [...notes(ref), ...notes(whole)];
}

/** What the difference does to the first amplifier: the second's part in its place, or none. */
function effectsOf(
  { was, is }: PartBeside,
  matching: Matching,
  before: PhaseView,
  after: PhaseView,
  amplifier: Amplifier,
): readonly ChangeEffect[] {
  const pairs = sectionsOf(was?.part, is?.part, before, after, matching);
  return pairs.flatMap(([one, two]) => {
    const ref = one?.ref ?? two?.ref;
    if (ref === undefined) return [];
    const part = two && inPlaceOf(one, two, matching);
    if (two !== undefined && part === undefined) return [];
    const source: Source = (two ?? one)?.source ?? { file: amplifier.sheet.uri, span: { start: 0, end: 0 } };
    const effect = effectOf(
      {
        ref,
        ...(one && { was: one }),
        ...(part && { is: { ...part, since: before.phase } }),
        planned: false,
        source,
      },
      amplifier,
    );
    return effect ?? [];
  });
}

/** A valve whose halves are fitted one by one is changed half by half. */
function sectionsOf(
  was: FittedPart | undefined,
  is: FittedPart | undefined,
  before: PhaseView,
  after: PhaseView,
  { refWas }: Matching,
): readonly (readonly [FittedPart | undefined, FittedPart | undefined])[] {
  const isInOne = (part: FittedPart | undefined, view: PhaseView) =>
    part === undefined || part.class !== 'valve' || view.parts.has(part.ref);
  if (isInOne(was, before) && isInOne(is, after)) return [[was, is]];
  const halves = (part: FittedPart | undefined, view: PhaseView) =>
    part === undefined ? [] : [...view.parts.values()].filter((each) => each.whole === part.ref);
  const later = halves(is, after);
  const pairs = halves(was, before).map((one) => {
    const two = later.find(({ ref }) => refWas(ref) === one.ref);
    return [one, two] as const;
  });
  return was === undefined ? later.map((two) => [undefined, two] as const) : pairs;
}

function isAboutPart({ how, finding }: RatingVerdict, { was, is }: PartBeside): boolean {
  const part = (how === 'cleared' ? was : is)?.part;
  if (part === undefined) return false;
  return namesIn(finding.subject).some((each) => {
    const [ref] = each.split('.');
    return ref === part.ref || (part.class === 'valve' && ref?.replace(/[A-Z]$/, '') === part.whole);
  });
}

/** Both at the mains of the first; where one of them was not read, at what the amplifier is made for. */
function atOneMains(before: PhaseView, after: PhaseView): readonly [PhaseView, PhaseView] {
  const [then, now] = [before, after].map(({ verdictSet }) => verdictSet?.mains?.value);
  if (then === now) return [before, after];
  const mains = now === undefined ? undefined : before.verdictSet?.mains;
  const at = (view: PhaseView): PhaseView => {
    const { verdictSet } = view;
    if (verdictSet === undefined) return view;
    const { mains: _, ...set } = verdictSet;
    return { ...view, verdictSet: { ...set, ...(mains && { mains }) } };
  };
  return [at(before), at(after)];
}

/** What moves by less than this share of itself, or of a volt, is no move worth telling. */
const WORTH_TELLING = 0.01;
const LEAST_VOLTS = 0.05;
const LEAST_AMPERES = 20e-6;

/** Both sides solved from their parts at one mains, at every point and valve that they have in common. */
function settledMoves(
  was: Amplifier,
  before: PhaseView,
  is: Amplifier,
  after: PhaseView,
  { nodeWas, refWas }: Matching,
): readonly SettledMove[] {
  const [first, second] = atOneMains(before, after);
  const one = new Map(averageState(first, was).figures.map((figure) => [figure.subject, figure]));
  return averageState(second, is).figures.flatMap((figure) => {
    const subject = nodeWas(figure.subject) ?? refWas(figure.subject) ?? figure.subject;
    const earlier = one.get(subject);
    if (earlier === undefined || earlier.quantity.unit !== figure.quantity.unit) return [];
    const [a, b] = [earlier.quantity.value, figure.quantity.value];
    const least = figure.quantity.unit === 'A' ? LEAST_AMPERES : LEAST_VOLTS;
    if (Math.abs(a - b) <= Math.max(least, WORTH_TELLING * Math.max(Math.abs(a), Math.abs(b)))) return [];
    return [
      { subject, ...(subject !== figure.subject && { now: figure.subject }), was: earlier, is: figure },
    ];
  });
}
