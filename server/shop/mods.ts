/**
 * Owns the verdict on standing modifications: mod sheets against one chassis or job sheet, change by change and as a whole, with
 * what the writer says of them, what each needs, and which stand in each other's way. What a mod would do is `mod-effects.ts`.
 */
import type { Amplifier, PhaseView, Source } from '../bench/model.ts';
import { isRail, nameOfPoint } from '../bench/points.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Sheet } from '../sheet/model.ts';
import { lastState, lineageOf } from './compare.ts';
import { nameOfSheet, sayMarked } from './compare-words.ts';
import { type ModChange, type ModFacts, modChanges, modFacts, modWires } from './mod-changes.ts';
import { type Bridge, learnPlace, openBridges, pointHere } from './mod-places.ts';
import {
  type ChangeVerdict,
  judgeChange,
  MOD_VERDICTS,
  type ModTarget,
  type ModVerdictName,
} from './mod-verdict.ts';
import { likenessTo } from './same-part.ts';
import type { ShopLanguage } from './shop-words.ts';

/** A mod sheet with the chassis sheets that it was written for. */
export interface ModSheet {
  readonly amplifier: Amplifier;
  readonly origins: readonly Amplifier[];
}

export interface ModsTarget {
  readonly amplifier: Amplifier;
  /** The earlier visit that a job returns: what was done then is still there. */
  readonly earlier?: Amplifier;
}

/** What the writer says of a whole mod: `- mod screens-5w: not applicable, tag board too small`. */
export interface WritersVerdict {
  readonly verdict: ModVerdictName;
  readonly why?: string;
  readonly source: Source;
}

/** A mod that must be there before. */
export interface Need {
  readonly name: string;
  readonly state: 'met' | 'open' | 'unknown';
  readonly why: string;
}

/** Another mod that wants something else of the same part, or that the sheet says must not be there. */
export interface Clash {
  readonly mod: string;
  readonly why: string;
  /** Of changes: the one of this mod that stands against the other. */
  readonly ref?: string;
}

/** Another mod that touches the same place with another part: each may look fine alone. */
export interface Meeting {
  readonly mod: string;
  readonly places: readonly string[];
}

export interface ModJudged {
  readonly sheet: Sheet;
  readonly facts: ModFacts;
  readonly isWrittenFor: boolean;
  readonly changes: readonly ChangeVerdict[];
  /** Points that the mod ties together, in its own words, with whether they are. */
  readonly wires: readonly WireVerdict[];
  /** What holds: the writer's word where there is one, else what the parts say and what stands in the way. */
  readonly verdict: ModVerdictName;
  /** By the parts alone. */
  readonly ours: ModVerdictName;
  readonly writer?: WritersVerdict;
  /** Changes that still apply, whatever stands in the way of the whole. */
  readonly open: readonly ChangeVerdict[];
  readonly needs: readonly Need[];
  readonly clashes: readonly Clash[];
  readonly meets: readonly Meeting[];
}

export interface WireVerdict {
  readonly words: string;
  readonly verdict: ModVerdictName;
  readonly source: Source;
}

export interface ModsJudged {
  readonly target: Amplifier;
  /** The state that was judged; undefined where the sheet fits nothing. */
  readonly view?: PhaseView;
  readonly mods: readonly ModJudged[];
}

/** Every mod against the amplifier as its sheet leaves it. */
export function judgeMods(
  mods: readonly ModSheet[],
  target: ModsTarget,
  catalogue: Catalogue,
  language: ShopLanguage,
): ModsJudged {
  const { amplifier } = target;
  const view = lastState(amplifier);
  const alone = mods.map((mod) => judgeAlone(mod, target, view, catalogue, language));
  return {
    target: amplifier,
    ...(view && { view }),
    mods: alone.map((each) => besideOthers(each, alone, target, language)),
  };
}

type Alone = Omit<ModJudged, 'verdict' | 'needs' | 'clashes' | 'meets'>;

function judgeAlone(
  mod: ModSheet,
  target: ModsTarget,
  view: PhaseView | undefined,
  catalogue: Catalogue,
  language: ShopLanguage,
): Alone {
  const { sheet } = mod.amplifier;
  const facts = modFacts(sheet);
  const lineage = lineageOf(target.amplifier).map(({ uri }) => uri);
  const writer = writersVerdict(facts.name, target);
  const changes = view === undefined ? [] : judgeChanges(mod, target, view, catalogue, language);
  const wires = view === undefined ? [] : judgeWires(mod, target, view, catalogue, language);
  const isSettled = writer !== undefined && !OPEN_IF_WRITTEN.has(writer.verdict);
  return {
    sheet,
    facts,
    isWrittenFor: mod.origins.some(({ sheet: origin }) => lineage.includes(origin.uri)),
    changes,
    wires,
    ours: wholeVerdict([...changes, ...wires].map(({ verdict }) => verdict)),
    ...(writer && { writer }),
    open: isSettled ? [] : changes.filter(({ verdict }) => verdict === 'still applies'),
  };
}

/** A writer who says any other thing of a mod has done with it. */
const OPEN_IF_WRITTEN: ReadonlySet<ModVerdictName> = new Set(['still applies', 'unknown', 'conflicts']);

function judgeChanges(
  mod: ModSheet,
  { amplifier, earlier }: ModsTarget,
  view: PhaseView,
  catalogue: Catalogue,
  language: ShopLanguage,
): readonly ChangeVerdict[] {
  const { mods: w } = language.says;
  const changes = modChanges(mod.amplifier.sheet, catalogue, language);
  const now = judgeAll(changes, mod, amplifier, view, { visit: w.thisVisit, language }, catalogue);
  const then = earlier && lastState(earlier);
  if (earlier === undefined || then === undefined) return now;
  const job = earlier.sheet.field('job')?.text.trim();
  const visit = w.earlierVisit(job);
  const before = judgeAll(changes, mod, earlier, then, { visit, language }, catalogue);
  return now.map((verdict, i) => {
    const was = before[i];
    // What this visit says itself goes before what the earlier one left.
    const isSaidNow = verdict.part !== undefined && verdict.part.since !== 'factory';
    return was !== undefined && !isSaidNow && FROM_EARLIER.has(was.verdict) && was.verdict !== verdict.verdict
      ? was
      : verdict;
  });
}

/** What a visit leaves behind: it is still so at the next. */
const FROM_EARLIER: ReadonlySet<ModVerdictName> = new Set(['already done', 'conflicts']);

/** Each change over the nearest sheet that the mod was written for; what that leaves open, over the next. */
function judgeAll(
  changes: readonly ModChange[],
  { amplifier: mod, origins }: ModSheet,
  amplifier: Amplifier,
  view: PhaseView,
  told: Pick<ModTarget, 'visit' | 'language'>,
  catalogue: Catalogue,
): readonly ChangeVerdict[] {
  const bridges = openBridges(mod, origins, amplifier, view, catalogue, told.language);
  const over = bridges.map((bridge) => judgeOver(changes, { amplifier, ...told }, bridge));
  return changes.flatMap((change, i) => {
    const all = over.flatMap((judged) => judged[i] ?? []);
    const settled = all.filter(({ part, verdict }) => verdict !== 'unknown' || part !== undefined);
    const refs = new Set(settled.flatMap(({ part }) => part?.ref ?? []));
    const isPlaced = change.ends !== undefined || change.across !== undefined || change.role !== undefined;
    if (refs.size > 1 && !isPlaced) return contradicted(change, settled, bridges, told.language);
    return settled[0] ?? all[0] ?? [];
  });
}

/** A ref that means one part on one of the sheets that the mod was written for and another on another. */
function contradicted(
  change: ModChange,
  found: readonly ChangeVerdict[],
  bridges: readonly Bridge[],
  language: ShopLanguage,
): ChangeVerdict {
  const { mods: w } = language.says;
  const sheets = bridges.flatMap(({ origin }) => (origin === undefined ? [] : nameOfSheet(origin, language)));
  return {
    change,
    verdict: 'unknown',
    why: w.notOnePart(change.ref.name, sheets.join(` ${w.and} `)),
    evidence: found.flatMap(({ part }) =>
      part === undefined ? [] : [{ text: w.wouldFit(part.ref), source: part.source }],
    ),
    ref: change.ref.name,
  };
}

function judgeOver(changes: readonly ModChange[], target: ModTarget, over: Bridge): readonly ChangeVerdict[] {
  let bridge = over;
  let isNamedAlike = false;
  const judge = () => {
    const claimed = new Set<string>();
    return changes.map((change) => {
      const verdict = judgeChange(change, target, { ...bridge, claimed }, isNamedAlike);
      if (change.kind === 'add' && verdict.part !== undefined) claimed.add(verdict.part.ref);
      return verdict;
    });
  };
  let judged = judge();
  // Without a sheet to go by, the mod's names are this amplifier's where a part that it changes proved to be so called, and
  // none to be called otherwise.
  const called = judged.flatMap(({ part, change }) =>
    part === undefined ? [] : part.ref === change.ref.name,
  );
  isNamedAlike = bridge.origin === undefined && called.length > 0 && called.every((isSo) => isSo);
  // A part of the mod that is here already tells what the mod's own places are called here, and so where its others are.
  for (let round = 0; round <= changes.length; round++) {
    const before = bridge.made.size;
    for (const { change, part } of judged)
      if (change.kind === 'add' && part !== undefined) bridge = learnPlace(change.ref.name, part, bridge);
    if (bridge.made.size === before && (round > 0 || !isNamedAlike)) break;
    judged = judge();
  }
  return judged;
}

function judgeWires(
  { amplifier: mod, origins }: ModSheet,
  { amplifier }: ModsTarget,
  view: PhaseView,
  catalogue: Catalogue,
  language: ShopLanguage,
): readonly WireVerdict[] {
  const wires = modWires(mod.sheet);
  if (wires.length === 0) return [];
  const [bridge] = openBridges(mod, origins, amplifier, view, catalogue, language);
  if (bridge === undefined) return [];
  return wires.map(({ from, to, span }) => {
    const [name = '', other = ''] = [from, to].map((point) => nameOfPoint(point, () => undefined).name);
    const [one, two] = [from, to].map((point) => pointHere(point, bridge));
    const isThere = (place: string | undefined) =>
      place === 'gnd' || (place !== undefined && view.circuit.nodes.includes(place));
    // Without a sheet to go by its names may mean any place.
    const isKnown = bridge.origin !== undefined && isThere(one) && isThere(two);
    const verdict = !isKnown ? 'unknown' : one === two ? 'done at factory' : 'still applies';
    return { words: language.says.mods.tiedTo(name, other), verdict, source: { file: mod.sheet.uri, span } };
  });
}

/** One word for a whole mod: what stands in the way first, then what is to do, then what is not known. */
function wholeVerdict(all: readonly ModVerdictName[]): ModVerdictName {
  const has = (verdict: ModVerdictName) => all.includes(verdict);
  for (const verdict of ['conflicts', 'still applies', 'unknown', 'declined'] as const)
    if (has(verdict)) return verdict;
  if (has('already done')) return 'already done';
  if (has('done at factory')) return 'done at factory';
  return has('not applicable') ? 'not applicable' : 'unknown';
}

// ---------------------------------------------------------------------------------------------------------------
// What the writer says

/** The last word on the mod: in the job sheet, else in the chassis sheets, the latest first; under Declined its name will do. */
function writersVerdict(name: string, { amplifier, earlier }: ModsTarget): WritersVerdict | undefined {
  const own = [...lineageOf(amplifier)].reverse();
  // A job that returns comes behind today's sheet and before the chassis sheets.
  const sheets = [...own.slice(0, 1), ...(earlier === undefined ? [] : [earlier.sheet]), ...own.slice(1)];
  for (const sheet of sheets) {
    const said = sheet.statements.findLast(
      (each) => each.kind === 'mod-verdict' && isOneName(each.mod, name),
    );
    if (said?.kind === 'mod-verdict') {
      const verdict = MOD_VERDICTS.find((each) => each === said.verdict) ?? 'unknown';
      const source = { file: sheet.uri, span: said.span };
      return { verdict, ...(said.why !== undefined && { why: said.why }), source };
    }
    const declined = declinedIn(sheet, name);
    if (declined !== undefined) return declined;
  }
  return undefined;
}

function isOneName(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}

/** Named under Declined: the owner did not want it. */
function declinedIn(sheet: Sheet, name: string): WritersVerdict | undefined {
  const { text } = sheet.snapshot;
  const word = new RegExp(`(?<![\\w.-])${name.replace(/[^A-Za-z0-9]/g, '\\$&')}(?![\\w-])`, 'i');
  for (const { topic, bodySpan } of sheet.sections) {
    if (topic !== 'declined') continue;
    const found = word.exec(text.slice(bodySpan.start, bodySpan.end));
    if (found === null) continue;
    const start = bodySpan.start + found.index;
    return {
      verdict: 'declined',
      source: { file: sheet.uri, span: { start, end: start + found[0].length } },
    };
  }
  return undefined;
}

// ---------------------------------------------------------------------------------------------------------------
// Mods beside each other

function besideOthers(
  own: Alone,
  all: readonly Alone[],
  target: ModsTarget,
  language: ShopLanguage,
): ModJudged {
  const others = all.filter((each) => each !== own);
  const clashes = own.open.length === 0 ? [] : clashesOf(own, others, target, language);
  const stopped = new Map(
    clashes.flatMap((each) => (each.ref === undefined ? [] : [[each.ref, each] as const])),
  );
  const changes = own.changes.map((each): ChangeVerdict => {
    const clash = each.verdict === 'still applies' ? stopped.get(each.ref) : undefined;
    if (clash === undefined) return each;
    return { ...each, verdict: 'conflicts', why: `${each.why}; ${clash.why}` };
  });
  return {
    ...own,
    changes,
    verdict: own.writer?.verdict ?? (clashes.length > 0 ? 'conflicts' : own.ours),
    needs: own.facts.needs.map((name) => needOf(name, all, target, language)),
    clashes,
    // Of two that do not go together at all it need not be said where.
    meets: others.flatMap((other) =>
      clashes.some(({ mod }) => mod === other.facts.name) ? [] : meetingOf(own, other),
    ),
  };
}

const DONE: ReadonlySet<ModVerdictName> = new Set(['done at factory', 'already done']);

function holds({ writer, ours }: Alone): ModVerdictName {
  return writer?.verdict ?? ours;
}

function clashesOf(
  own: Alone,
  others: readonly Alone[],
  target: ModsTarget,
  language: ShopLanguage,
): readonly Clash[] {
  const { mods: w } = language.says;
  const names = (of: Alone, other: Alone) =>
    of.facts.conflicts.some((name) => isOneName(name, other.facts.name));
  const told = others.flatMap((other): readonly Clash[] => {
    const mod = other.facts.name;
    if (names(own, other) || names(other, own)) {
      if (DONE.has(holds(other))) return [{ mod, why: w.thereAlready(mod) }];
      if (other.open.length > 0) return [{ mod, why: w.notTogether(mod) }];
    }
    return own.open.flatMap((each) => {
      const theirs = other.open.find((one) => isOnePart(each, one));
      if (theirs === undefined || isSameEnd(each, theirs)) return [];
      return [{ mod, ref: each.ref, why: w.onlyOne(mod, wish(theirs, language)) }];
    });
  });
  // One that is named and has no sheet here is known by what the writer says of it.
  const absent = own.facts.conflicts.filter(
    (name) => !others.some(({ facts }) => isOneName(facts.name, name)),
  );
  return [
    ...told,
    ...absent.flatMap((mod) =>
      DONE.has(writersVerdict(mod, target)?.verdict ?? 'unknown') ? [{ mod, why: w.thereAlready(mod) }] : [],
    ),
  ];
}

function isOnePart(one: ChangeVerdict, other: ChangeVerdict): boolean {
  if (one.part !== undefined || other.part !== undefined) return one.part?.ref === other.part?.ref;
  const [a, b] = [one, other].map(({ next }) => [...(next?.terminals.values() ?? [])].sort().join(' '));
  return a === b && a !== '' && one.change.ref.class === other.change.ref.class;
}

function isSameEnd({ change: one }: ChangeVerdict, { change: other }: ChangeVerdict): boolean {
  if (one.is === undefined || other.is === undefined) return one.kind === other.kind;
  return likenessTo(one.is, other.is) === 'same' && likenessTo(other.is, one.is) === 'same';
}

function wish({ ref, change }: ChangeVerdict, language: ShopLanguage): string {
  const { mods: w } = language.says;
  return change.is === undefined ? w.takesOut(ref) : w.makes(ref, sayMarked(change.is, language));
}

/** Places where both change something, each another part. */
function meetingOf(own: Alone, other: Alone): readonly Meeting[] {
  const places = (of: Alone) =>
    of.open.map((each) => ({
      ref: each.part?.ref ?? each.ref,
      nodes: [...((each.next ?? each.part)?.terminals.values() ?? [])].filter(
        (node) => node !== 'gnd' && !isRail(node),
      ),
    }));
  const theirs = places(other);
  const shared = places(own).flatMap(({ ref, nodes }) =>
    nodes.filter((node) => theirs.some((each) => each.ref !== ref && each.nodes.includes(node))),
  );
  return shared.length === 0 ? [] : [{ mod: other.facts.name, places: [...new Set(shared)] }];
}

function needOf(name: string, all: readonly Alone[], target: ModsTarget, language: ShopLanguage): Need {
  const { mods: w } = language.says;
  const said = writersVerdict(name, target);
  if (said !== undefined)
    return {
      name,
      state: DONE.has(said.verdict) ? 'met' : 'open',
      why: w.asSheetSays(w.verdicts[said.verdict]),
    };
  const judged = all.find(({ facts }) => isOneName(facts.name, name));
  if (judged === undefined)
    return {
      name,
      state: 'unknown',
      why: w.noSheet,
    };
  if (DONE.has(judged.ours)) return { name, state: 'met', why: w.verdicts[judged.ours] };
  return { name, state: judged.ours === 'unknown' ? 'unknown' : 'open', why: w.verdicts[judged.ours] };
}

/** `Larch 20, revision c`. */
export function nameOfTarget({ target, view }: ModsJudged, language: ShopLanguage): string {
  return nameOfSheet({ amplifier: target, ...(view && { phase: view.phase }) }, language);
}
