/**
 * Owns the verdict on one change of a mod sheet against one amplifier: whether it still applies, was done and by whom, does not
 * apply or stands against something; unknown wherever the part's role is not established or nobody looked. Each says why and
 * where that can be read.
 */
import type { Amplifier, FittedPart, PartChange, PhaseView, Source } from '../bench/model.ts';
import { lineageOf } from './compare.ts';
import { nameOfSheet, sayMarked } from './compare-words.ts';
import type { ModChange } from './mod-changes.ts';
import { type Bridge, findPlace, findSite, sayPart, sayRoleIn, whatIsUntold } from './mod-places.ts';
import { differsOnlyInRatings, likenessTo, type RatingAsked, ratingsAsked } from './same-part.ts';
import type { ShopLanguage } from './shop-words.ts';

export const MOD_VERDICTS = [
  'still applies',
  'done at factory',
  'already done',
  'not applicable',
  'conflicts',
  'declined',
  'unknown',
] as const;
export type ModVerdictName = (typeof MOD_VERDICTS)[number];

/** What a verdict rests on, with its place where it has one. */
export interface Evidence {
  readonly text: string;
  readonly source?: Source;
}

export interface ChangeVerdict {
  readonly change: ModChange;
  readonly verdict: ModVerdictName;
  /** A clause: `C8 is 22 µF 25 V`. */
  readonly why: string;
  readonly evidence: readonly Evidence[];
  /** The part here that the change is about. */
  readonly part?: FittedPart;
  /** What would be fitted here, by this amplifier's names: absent for a removal and where that cannot be told. */
  readonly next?: FittedPart;
  /** Its ref here: of a new part one that is free. */
  readonly ref: string;
  /** A line that plans it already. */
  readonly planned?: Source;
  /** It is done, with a part that is rated below what the mod asks for. */
  readonly isUnderRated?: boolean;
}

export interface ModTarget {
  readonly amplifier: Amplifier;
  /** What a change of its sheet's own is called: `this visit`. */
  readonly visit: string;
  readonly language: ShopLanguage;
}

/** `isNamedAlike`: the mod's names are known to be those of this amplifier. */
export function judgeChange(
  change: ModChange,
  target: ModTarget,
  bridge: Bridge,
  isNamedAlike: boolean,
): ChangeVerdict {
  const { language } = target;
  const { mods: w } = language.says;
  if (change.kind === 'work') return verdictOf(change, 'unknown', w.workUnseen(change.words), []);
  if (change.kind === 'add' && !isOnOrigin(change, bridge))
    return judgeAddition(change, target, bridge, isNamedAlike);
  const place = findPlace(change, bridge);
  switch (place.kind) {
    case 'open':
      return verdictOf(
        change,
        'unknown',
        place.why,
        place.fitting.map((part) => ({ text: w.wouldFit(sayPart(part, language)), source: part.source })),
      );
    case 'gone':
      return judgeGone(change, target, place.how);
    case 'part':
      return judgePart(change, place.part, place.how, target, bridge);
  }
}

/** `R3 = 1k` of a part that the sheet which it was written for has is a change like any other. */
function isOnOrigin({ ref }: ModChange, { origin }: Bridge): boolean {
  return origin?.view.parts.get(ref.name)?.class === ref.class;
}

function verdictOf(
  change: ModChange,
  verdict: ModVerdictName,
  why: string,
  evidence: readonly Evidence[],
  more: Partial<Pick<ChangeVerdict, 'part' | 'next' | 'ref' | 'planned' | 'isUnderRated'>> = {},
): ChangeVerdict {
  return { change, verdict, why, evidence, ref: more.part?.ref ?? change.ref.name, ...more };
}

// ---------------------------------------------------------------------------------------------------------------
// A part that is there

function judgePart(
  change: ModChange,
  part: FittedPart,
  how: string | undefined,
  target: ModTarget,
  { view }: Bridge,
): ChangeVerdict {
  const { language } = target;
  const { mods: w } = language.says;
  const says = say(part);
  const evidence: readonly Evidence[] = [
    { text: how ?? w.asWritten(part.ref), source: part.source },
    ...seenAs(part, target),
  ];
  const conclude = (
    verdict: ModVerdictName,
    why: string,
    more: readonly Evidence[] = [],
    own: Partial<Pick<ChangeVerdict, 'next' | 'planned' | 'isUnderRated'>> = {},
  ) => verdictOf(change, verdict, why, [...evidence, ...more], { part, ...own });

  if (isNotSeen(part, target)) return conclude('unknown', w.nobodyLooked(says));
  const standing = standingOf(part, change);
  if (standing === 'unsaid') return conclude('unknown', w.unsaid(part.ref));
  if (typeof standing === 'object') return conclude('unknown', w.unsaidRating(says, w.ratings[standing.of]));
  if (standing === 'done') return concludeDone(change, part, target, conclude);
  if (standing === 'renewed')
    return part.since === 'factory'
      ? conclude('unknown', w.renewalUnseen(says))
      : concludeDone(change, part, target, conclude);

  const kept = [...target.amplifier.sheet.keeps, ...(target.amplifier.chassis?.keeps ?? [])].findLast(
    ({ ref }) => ref.name === part.ref || ref.name === part.whole,
  );
  if (kept !== undefined) {
    const source = { file: fileOfKeep(kept, target.amplifier), span: kept.span };
    return conclude(
      'declined',
      kept.reason === undefined ? w.toStay(part.ref) : `${w.toStay(part.ref)}: ${kept.reason}`,
      [{ text: w.saidHere, source }],
    );
  }
  if (standing === 'other') return concludeOther(change, part, target, conclude);

  const next = change.is === undefined ? undefined : inPlace(change.is, part, change);
  const planned = plannedFor(part, target);
  if (planned !== undefined) {
    const isIt =
      change.kind === 'remove'
        ? planned.work === 'removed'
        : planned.is !== undefined &&
          change.is !== undefined &&
          likenessTo(planned.is, change.is) !== 'other';
    if (!isIt)
      return conclude(
        'conflicts',
        w.planned(
          part.ref,
          planned.is === undefined ? workSaid(planned, language) : sayMarked(planned.is, language),
        ),
        [{ text: w.plannedHere, source: planned.source }],
      );
  }
  const ratings =
    change.is !== undefined && change.was !== undefined && differsOnlyInRatings(change.was, change.is)
      ? missedOf(part, change.is).map((each) => w.ratingMissed(w.ratings[each.of]))
      : [];
  return conclude('still applies', [says, ...ratings].join('; '), [], {
    ...(next && { next }),
    ...(planned && { planned: planned.source }),
  });

  function seenAs({ ref }: FittedPart, { amplifier }: ModTarget): readonly Evidence[] {
    const seen = amplifier.seen.get(ref);
    if (seen === undefined) return [];
    return [{ text: seen.says === 'as-drawn' ? w.lookedAt : w.notSeen, source: seen.source }];
  }

  function say(of: FittedPart): string {
    const marked = sayMarked(of, language);
    const role = sayRoleIn(view, of.ref, language, false);
    return w.is(`${of.ref}${role === undefined ? '' : ` (${role})`}`, marked === '' ? w.there : marked);
  }
}

/** Work that is planned on a part, where no new one is named. */
function workSaid({ work }: PartChange, { says }: ShopLanguage): string {
  const works: Readonly<Record<string, string>> = says.works;
  return work === undefined ? says.mods.somethingElse : (works[work] ?? work);
}

type Conclude = (
  verdict: ModVerdictName,
  why: string,
  more?: readonly Evidence[],
  own?: Pick<ChangeVerdict, 'isUnderRated'>,
) => ChangeVerdict;

/** Who did it: the factory, somebody before this visit, or this visit. */
function concludeDone(
  change: ModChange,
  part: FittedPart,
  { visit, language }: ModTarget,
  conclude: Conclude,
): ChangeVerdict {
  const { mods: w } = language.says;
  const missed = change.is === undefined ? [] : missedOf(part, change.is).filter(({ of }) => of !== 'kind');
  const but =
    missed.length === 0 ? '' : w.ratingsMissed(missed.map(({ of }) => w.ratings[of]).join(w.andIts));
  const what = w.is(part.ref, sayMarked(part, language));
  const rated = { ...(missed.length > 0 && { isUnderRated: true }) };
  if (part.since === 'factory') return conclude('done at factory', `${what}${but}`, [], rated);
  const when = part.since === 'as-found' ? w.thereBefore(visit) : w.fittedOn(visit);
  return conclude('already done', `${what}, ${when}${but}`, [], rated);
}

/** It is neither what the mod takes out nor what it puts in. */
function concludeOther(
  change: ModChange,
  part: FittedPart,
  { amplifier, visit, language }: ModTarget,
  conclude: Conclude,
): ChangeVerdict {
  const { mods: w } = language.says;
  const expected = change.was === undefined ? w.anotherPart : sayMarked(change.was, language);
  const what = w.modChanges(w.is(part.ref, sayMarked(part, language)), expected);
  if (part.since === 'factory' || amplifier.sheet.kind === 'chassis') return conclude('not applicable', what);
  const who = part.since === 'as-found' ? w.somebodyFitted(visit) : w.fittedOn(visit);
  return conclude('conflicts', `${what}: ${who}`);
}

/**
 * How the part stands to the change: done, to be done, or neither; a rating where that alone would decide and is not written.
 * `renewed`: the mod puts in what it takes out, so that a part says nothing.
 */
function standingOf(
  part: FittedPart,
  { was, is }: ModChange,
): 'done' | 'open' | 'other' | 'unsaid' | 'renewed' | RatingAsked {
  const toWas = was === undefined ? 'any' : likenessTo(part, was);
  if (is === undefined) return toWas === 'unsaid' ? 'unsaid' : toWas === 'other' ? 'other' : 'open';
  const toIs = likenessTo(part, is);
  if (toWas === 'unsaid' || toIs === 'unsaid') return 'unsaid';
  const isIs = toIs === 'same' || toIs === 'any';
  const isWas = toWas === 'same' || toWas === 'any';
  if (isIs && (was === undefined || toWas === 'other')) return 'done';
  if (!isIs && isWas) return 'open';
  if (!isIs) return 'other';
  // One value, so the ratings are the change: those that the old part had not.
  const raised = new Set(
    was === undefined ? [] : ratingsAsked(was, is).flatMap((each) => (each.is === 'met' ? [] : each.of)),
  );
  if (raised.size === 0) {
    // One type under two names, of which the mod writes one for the other: `EL84 -> 7189`.
    const [own, old, put] = [part, was, is].map((each) => each?.type?.text.toUpperCase());
    if (old === put) return 'renewed';
    return own === old ? 'open' : 'done';
  }
  const asked = ratingsAsked(part, is).filter(({ of }) => raised.has(of));
  if (asked.some((each) => each.is === 'missed')) return 'open';
  return asked.find((each) => each.is === 'unsaid') ?? 'done';
}

function missedOf(part: FittedPart, is: FittedPart): readonly RatingAsked[] {
  return ratingsAsked(part, is).filter((each) => each.is === 'missed');
}

function plannedFor({ ref, whole }: FittedPart, { amplifier }: ModTarget): PartChange | undefined {
  return amplifier.changes.findLast(
    (change) => change.planned && (change.ref === ref || change.ref === whole),
  );
}

/** A later sheet says that it was not looked at, and nothing later fitted it. */
function isNotSeen({ ref, whole, source }: FittedPart, { amplifier }: ModTarget): boolean {
  const seen = amplifier.seen.get(ref) ?? amplifier.seen.get(whole);
  if (seen?.says !== 'not-seen') return false;
  const order = lineageOf(amplifier).map(({ uri }) => uri);
  const [fitted, said] = [order.indexOf(source.file), order.indexOf(seen.source.file)];
  return fitted < said || (fitted === said && source.span.start < seen.source.span.start);
}

function fileOfKeep(kept: { readonly span: object }, { sheet, chassis }: Amplifier): string {
  return sheet.keeps.some(({ span }) => span === kept.span) ? sheet.uri : (chassis?.uri ?? sheet.uri);
}

/** The new part where the old one sits, under the ref that it has here. */
function inPlace(is: FittedPart, part: FittedPart, { moves }: ModChange): FittedPart | undefined {
  // Where it goes somewhere else as well, only the mod's own sheet knows what that does.
  if (moves) return undefined;
  const { section, ref, whole, terminals } = part;
  return { ...is, ref, whole, ...(section !== undefined && { section }), terminals };
}

// ---------------------------------------------------------------------------------------------------------------
// A part that is not there, or not yet

function judgeGone(change: ModChange, { amplifier, visit, language }: ModTarget, how: string): ChangeVerdict {
  const { mods: w } = language.says;
  const removed = amplifier.changes.findLast(
    ({ ref, work, planned }) => ref === change.ref.name && work === 'removed' && !planned,
  );
  if (change.kind === 'remove') {
    const by = removed?.source;
    return by === undefined
      ? verdictOf(change, 'done at factory', how, [sheetOf(amplifier, language)])
      : verdictOf(change, 'already done', w.wasTakenOut(change.ref.name), [{ text: w.place, source: by }]);
  }
  if (removed !== undefined)
    return verdictOf(change, 'conflicts', w.wasTakenOutOn(change.ref.name, visit), [
      { text: w.place, source: removed.source },
    ]);
  return verdictOf(change, 'not applicable', how, [sheetOf(amplifier, language)]);
}

function sheetOf(amplifier: Amplifier, language: ShopLanguage): Evidence {
  return {
    text: language.says.mods.bySheet(nameOfSheet({ amplifier }, language)),
    source: { file: amplifier.sheet.uri, span: { start: 0, end: 0 } },
  };
}

function judgeAddition(
  change: ModChange,
  target: ModTarget,
  bridge: Bridge,
  isNamedAlike: boolean,
): ChangeVerdict {
  const { view } = bridge;
  const { amplifier, language } = target;
  const { mods: w } = language.says;
  const site = findSite(change, bridge, isNamedAlike);
  if (site.kind === 'open') return verdictOf(change, 'unknown', site.why, []);
  const { is } = change;
  const where = site.how ?? w.there;
  const there = partsAt(site.terminals, change, bridge).filter(({ ref }) => !bridge.claimed.has(ref));
  const alike = there.filter((part) => is !== undefined && likenessTo(part, is) === 'same');
  const own = alike.find(({ ref }) => ref === change.ref.name) ?? alike[0];
  if (own !== undefined) {
    const conclude: Conclude = (verdict, why, more = [], rated = {}) =>
      verdictOf(
        change,
        verdict,
        why,
        [{ text: w.asWrittenAt(own.ref, where), source: own.source }, ...more],
        { part: own, ...rated },
      );
    if (isNotSeen(own, target)) return conclude('unknown', w.nobodyLooked(sayPart(own, language)));
    return concludeDone(change, own, target, conclude);
  }
  const [other] = there.filter((part) => isRoleLike(part, change, bridge));
  if (other !== undefined) {
    const verdict =
      other.since === 'factory' || amplifier.sheet.kind === 'chassis' ? 'not applicable' : 'conflicts';
    return verdictOf(
      change,
      verdict,
      w.sitsAlready(sayPart(other, language), where, is === undefined ? w.aPart : sayMarked(is, language)),
      [{ text: w.asWritten(other.ref), source: other.source }],
      { part: other },
    );
  }
  const untold = whatIsUntold([...site.terminals.values()], bridge);
  if (untold !== undefined) return verdictOf(change, 'unknown', w.untold[untold](where), []);
  const ref = freeRef(change.ref.name, view);
  const planned = amplifier.changes.findLast(
    (each) =>
      each.planned &&
      each.is !== undefined &&
      each.ref === ref &&
      is !== undefined &&
      likenessTo(each.is, is) !== 'other',
  );
  const named = ref === change.ref.name ? '' : w.otherHere(change.ref.name, ref);
  const next = is && {
    ...is,
    ref,
    whole: ref,
    terminals: new Map(
      [...site.terminals].map(([at, node]) => [at, renamedNode(node, change.ref.name, ref)]),
    ),
  };
  return verdictOf(
    change,
    'still applies',
    `${site.how === undefined ? w.hangsOnMod : w.nothingSits(site.how)}${named}`,
    [],
    {
      ref,
      ...(next && { next }),
      ...(planned && { planned: planned.source }),
    },
  );
}

function renamedNode(node: string, from: string, to: string): string {
  return node.startsWith(`${from}.`) ? `${to}${node.slice(from.length)}` : node;
}

/** Parts of that class at the places that this amplifier has, and that are not another part of the sheet it was written for. */
function partsAt(
  terminals: ReadonlyMap<string, string>,
  { ref, is }: ModChange,
  { view, origin }: Bridge,
): readonly FittedPart[] {
  const known = new Set(
    [...terminals.values()].filter((node) => node === 'gnd' || view.circuit.nodes.includes(node)),
  );
  const isLive = [...known].some((node) => node !== 'gnd');
  if (!isLive) return [];
  const taken = new Set(origin === undefined ? [] : [...origin.pairs.values()].map(({ was }) => was.ref));
  return [...view.parts.values()].filter((part) => {
    if (part.class !== ref.class || taken.has(part.ref)) return false;
    const nodes = [...part.terminals.values()];
    return (
      [...known].every((node) => nodes.includes(node)) && (is === undefined || likenessTo(part, is) !== 'any')
    );
  });
}

/** Whether it does there what the new one would: the same role, where both are known to have one. */
function isRoleLike(part: FittedPart, { ref }: ModChange, { view, modView }: Bridge): boolean {
  const own = view.roles.get(part.ref)?.role;
  const wanted = modView?.roles.get(ref.name)?.role;
  return own !== undefined && own !== 'unknown' && own === wanted;
}

/** The ref itself, or where it is another part here the next free one of its letters. */
function freeRef(name: string, { parts }: PhaseView): string {
  if (!parts.has(name) && ![...parts.values()].some(({ whole }) => whole === name)) return name;
  const letters = /^[A-Z]+/.exec(name)?.[0] ?? '';
  const numbers = [...parts.keys()].flatMap((ref) => {
    const [, own, digits] = /^([A-Z]+)(\d+)/.exec(ref) ?? [];
    return own === letters && digits !== undefined ? [Number(digits)] : [];
  });
  return `${letters}${Math.max(0, ...numbers) + 1}`;
}
