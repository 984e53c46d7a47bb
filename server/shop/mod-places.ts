/**
 * Owns where in an amplifier the part is that a mod sheet changes. The chassis sheet that the mod was written for says what its
 * refs mean; from there the part is followed to the amplifier by what it does and where it sits. Where no such sheet can be
 * read, the mod's own words must do: a role, or a ref, a place and a value that all agree. Anything less is no place at all.
 */
import { type Matching, matchParts, type PartPair } from '../bench/matching.ts';
import type { Amplifier, FittedPart, PhaseView } from '../bench/model.ts';
import { nameOfPoint } from '../bench/points.ts';
import { resolveAmplifier } from '../bench/resolve.ts';
import { sayRole } from '../bench/saying.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Point } from '../dialect/tree.ts';
import { carriedNames, isWhole, lastState, lineageOf } from './compare.ts';
import { nameOfSheet, sayMarked } from './compare-words.ts';
import type { ModChange } from './mod-changes.ts';
import { findByRole, hasOtherRole } from './mod-roles.ts';
import { likenessTo } from './same-part.ts';
import type { ShopLanguage } from './shop-words.ts';

/** Where a part of the mod is in the amplifier. */
export type PlaceFound =
  /** `how` it is known to be this part, where its ref on its own sheet does not say it. */
  | { readonly kind: 'part'; readonly part: FittedPart; readonly how?: string }
  /** The place is known, and nothing sits there. */
  | { readonly kind: 'gone'; readonly how: string }
  | { readonly kind: 'open'; readonly why: string; readonly fitting: readonly FittedPart[] };

/** Where a part that is added goes. */
export type SiteFound =
  | {
      readonly kind: 'site';
      readonly terminals: ReadonlyMap<string, string>;
      readonly how: string | undefined;
    }
  | { readonly kind: 'open'; readonly why: string };

/** All that leads from one mod sheet to one amplifier. */
export interface Bridge {
  /** What is said of places is said in it. */
  readonly language: ShopLanguage;
  readonly view: PhaseView;
  /** Undefined where the mod was written for no sheet that can be read. */
  readonly origin?: Origin;
  /** The mod sheet's own state with everything done, on the sheet it was written for. */
  readonly modView?: PhaseView;
  /** Places that the mod makes and that are here already, by the mod's names: learnt from parts that were found. */
  readonly made: ReadonlyMap<string, string>;
  /** Parts here that are what another line of the mod adds: one part is not two. */
  readonly claimed: ReadonlySet<string>;
  /** No sheet that the amplifier's own rest on is missing: what they do not have is not there. */
  readonly isWhole: boolean;
}

interface Origin {
  readonly amplifier: Amplifier;
  readonly view: PhaseView;
  readonly matching: Matching;
  readonly pairs: ReadonlyMap<string, PartPair>;
  /** Both rest on one sheet, so a ref that nobody renumbered is the same part in both. */
  readonly isOfOneFamily: boolean;
  readonly isSame: boolean;
}

/** The bridges over the sheets that the mod was written for, the nearest to the amplifier first; without any, one over none. */
export function openBridges(
  mod: Amplifier,
  origins: readonly Amplifier[],
  target: Amplifier,
  view: PhaseView,
  catalogue: Catalogue,
  language: ShopLanguage,
): readonly Bridge[] {
  const lineage = lineageOf(target).map(({ uri }) => uri);
  const nearness = ({ sheet }: Amplifier) => {
    const at = lineage.lastIndexOf(sheet.uri);
    return at < 0 ? lineage.length : lineage.length - 1 - at;
  };
  const bridges = origins
    .toSorted((one, other) => nearness(one) - nearness(other))
    .flatMap((each) => bridgeOver(each, mod, target, view, catalogue, language) ?? []);
  if (bridges.length > 0) return bridges;
  return [openBridge(mod, target, view, language)];
}

/** A bridge over no sheet: `mod` as it stands. */
function openBridge(mod: Amplifier, target: Amplifier, view: PhaseView, language: ShopLanguage): Bridge {
  const modView = mod.phases.at(-1);
  return {
    language,
    view,
    ...(modView && { modView }),
    made: new Map(),
    claimed: new Set(),
    isWhole: isWhole(target),
  };
}

function bridgeOver(
  origin: Amplifier,
  mod: Amplifier,
  target: Amplifier,
  view: PhaseView,
  catalogue: Catalogue,
  language: ShopLanguage,
): Bridge | undefined {
  const originView = lastState(origin);
  if (originView === undefined) return undefined;
  const lineage = lineageOf(target).map(({ uri }) => uri);
  const matching = matchParts(view, originView, carriedNames(target, origin));
  const onOrigin = resolveAmplifier(mod.sheet, origin.sheet, catalogue, {
    follows: origin.follows,
    ...(origin.shopSheet && { shopSheet: origin.shopSheet }),
  });
  const ofOrigin = lineageOf(origin).map(({ uri }) => uri);
  return {
    ...openBridge(onOrigin, target, view, language),
    origin: {
      amplifier: origin,
      view: originView,
      matching,
      pairs: new Map(matching.pairs.map((pair) => [pair.is.ref, pair])),
      isOfOneFamily: ofOrigin.some((uri) => lineage.includes(uri)),
      isSame: lineage.includes(origin.sheet.uri),
    },
  };
}

/**
 * Why it tells nothing that a part is not at these places: `sheet`, one that could have it cannot be read; `place`, nothing is
 * written of what hangs there but the valve, and the mod was not written for this very sheet. Undefined where its absence is to
 * be believed.
 */
export function whatIsUntold(
  places: readonly string[],
  { view, origin, isWhole: areAllThere }: Bridge,
): 'sheet' | 'place' | undefined {
  if (!areAllThere) return 'sheet';
  if (origin?.isSame === true) return undefined;
  const { circuit, parts } = view;
  const live = places.filter((node) => node !== 'gnd' && circuit.nodes.includes(node));
  const isTold = (node: string) =>
    circuit.attached(node).some(({ ref }) => parts.get(ref)?.class !== 'valve');
  return live.length > 0 && !live.some(isTold) ? 'place' : undefined;
}

/** The part that a change is made to. */
export function findPlace(change: ModChange, bridge: Bridge): PlaceFound {
  const { origin } = bridge;
  if (origin === undefined) return placeByWords(change, bridge);
  const there = partOnOrigin(change, origin);
  if (there === undefined) {
    // Where the sheet that it was written for does not bear it out, a role in words may still.
    if (change.role !== undefined) return placeByWords(change, bridge);
    const name = nameOfSheet({ amplifier: origin.amplifier }, bridge.language);
    return {
      kind: 'open',
      why: bridge.language.says.mods.notThatPart(change.ref.name, name),
      fitting: [],
    };
  }
  return followPart(there, change, bridge, origin);
}

function followPart(
  there: FittedPart,
  change: ModChange,
  bridge: Bridge,
  { amplifier, matching, pairs, isOfOneFamily, isSame, view: originView }: Origin,
): PlaceFound {
  const { view, language } = bridge;
  const ref = there.class === 'valve' ? there.whole : there.ref;
  const { mods: w } = language.says;
  const named = w.partOf(ref, nameOfSheet({ amplifier }, language));
  const role = sayRoleIn(originView, there.ref, language);
  const called = role === undefined ? named : `${named}, ${role}`;
  const pair = pairs.get(ref);
  if (pair !== undefined) {
    const part = pair.was;
    const isAlone = [view, originView].every(
      ({ parts }) => [...parts.values()].filter((each) => each.class === part.class).length === 1,
    );
    if (pair.by !== 'ref' || isOfOneFamily || isAlone) {
      const how = isSame && part.ref === ref ? undefined : w.itIs(called, w.matched[pair.by]);
      return { kind: 'part', part, ...(how !== undefined && { how }) };
    }
    return {
      kind: 'open',
      why: w.onlyRef(part.ref, called),
      fitting: likenessOf(part, change) ? [part] : [],
    };
  }
  const places = [...there.terminals.values()].map((node) => matching.nodeWas(node));
  const known = places.flatMap((node) => node ?? []);
  const isPlaced = known.length > 0 && known.length === places.length;
  const isTakenOut = isSame && !view.parts.has(ref);
  if (isPlaced || isTakenOut) {
    const where = isPlaced ? between(known, language) : undefined;
    const untold = isTakenOut ? undefined : whatIsUntold(known, bridge);
    if (untold !== undefined) return { kind: 'open', why: w.untold[untold](where ?? w.there), fitting: [] };
    return { kind: 'gone', how: w.nothingDoes(where, named, role) };
  }
  return { kind: 'open', why: w.notTold(called), fitting: [] };
}

function between(nodes: readonly string[], { says }: ShopLanguage): string {
  const [one, two] = nodes;
  return two === undefined ? says.mods.at(one ?? '') : says.mods.between(nodes.join(` ${says.mods.and} `));
}

/** `cathode bypass of V1A`. */
export function sayRoleIn(
  { roles }: PhaseView,
  ref: string,
  { terms }: ShopLanguage,
  tellsLikely = true,
): string | undefined {
  return sayRole(roles.get(ref), terms, tellsLikely) || undefined;
}

/** The part that the mod means on the sheet it was written for: its ref is a hint, value and place must agree. */
function partOnOrigin(change: ModChange, { view }: Origin): FittedPart | undefined {
  const own = view.parts.get(change.ref.name) ?? halfOf(change, view);
  if (own !== undefined && isDescribed(own, change, view)) return own;
  if (change.was === undefined) return undefined;
  const fitting = [...view.parts.values()].filter(
    (part) => part.class === change.ref.class && isDescribed(part, change, view) && likenessOf(part, change),
  );
  return fitting.length === 1 ? fitting[0] : undefined;
}

/** A valve that is written half by half goes by either. */
function halfOf({ ref }: ModChange, { parts }: PhaseView): FittedPart | undefined {
  return ref.class === 'valve' && ref.section === undefined
    ? [...parts.values()].find(({ whole }) => whole === ref.name)
    : undefined;
}

/**
 * Nothing that the mod says of the part as it was speaks against it. Where both say where it sits, the places must be the same:
 * one that this sheet does not know is another sheet's, and so is the ref.
 */
function isDescribed(part: FittedPart, change: ModChange, view: PhaseView): boolean {
  if (part.class !== change.ref.class) return false;
  if (change.was !== undefined && likenessTo(part, change.was) === 'other') return false;
  if (change.role !== undefined && hasOtherRole(part, change.role, view)) return false;
  const nodes = [...part.terminals.values()];
  const isPlaced = change.ends !== undefined || change.across !== undefined;
  if (!isPlaced || nodes.length !== 2) return true;
  return nodesOf(change, view)?.every((node) => nodes.includes(node)) === true;
}

function likenessOf(part: FittedPart, { was }: ModChange): boolean {
  return was !== undefined && likenessTo(part, was) === 'same';
}

/** The two places by the names of this amplifier; undefined where they are not said or one of them is not known. */
function nodesOf({ ends, across }: ModChange, view: PhaseView): readonly string[] | undefined {
  if (across !== undefined) {
    const nodes = [...(view.parts.get(across.name)?.terminals.values() ?? [])];
    return nodes.length === 2 ? nodes : undefined;
  }
  const nodes = (ends ?? []).flatMap((point) => nodeOf(point, view) ?? []);
  return nodes.length === 2 ? nodes : undefined;
}

function nodeOf(point: Point, { circuit }: PhaseView): string | undefined {
  const { name } = nameOfPoint(point, () => undefined);
  return name === 'gnd' ? name : circuit.nodeOf(name);
}

/** No sheet to go by: a role in words, or all three of ref, place and value. */
function placeByWords(change: ModChange, { view, language }: Bridge): PlaceFound {
  const { mods: w } = language.says;
  const { role, ref, was } = change;
  if (role !== undefined) {
    const value = was?.value?.quantity.value;
    const found = findByRole(view, {
      said: role,
      class: ref.class,
      ...(value !== undefined && { value }),
      ref: ref.name,
    });
    switch (found.kind) {
      case 'found':
        return {
          kind: 'part',
          part: found.part,
          how: w.because(w.itIsThe(role.words), language.foreign(found.because)),
        };
      case 'other-value':
        if (found.parts.length === 1 && found.parts[0] !== undefined)
          return { kind: 'part', part: found.parts[0], how: w.itIsThe(role.words) };
        return { kind: 'open', why: w.several(role.words), fitting: found.parts };
      case 'several':
        return { kind: 'open', why: w.several(role.words), fitting: found.parts };
      case 'none':
        return { kind: 'open', why: w.noneKnown(role.words), fitting: [] };
    }
  }
  const own = view.parts.get(ref.name) ?? halfOf(change, view);
  const wanted = nodesOf(change, view);
  const isSayingWhat = was !== undefined && likenessTo(was, was) !== 'any';
  if (own !== undefined && own.class === ref.class && wanted !== undefined && isSayingWhat) {
    const nodes = [...own.terminals.values()];
    const isThere = nodes.length === 2 && wanted.every((node) => nodes.includes(node));
    const isSo = [was, change.is].some((each) => each !== undefined && likenessTo(own, each) === 'same');
    if (isThere && isSo) return { kind: 'part', part: own, how: w.agree(between(nodes, language)) };
  }
  return {
    kind: 'open',
    why: w.noOrigin,
    fitting: own === undefined ? [] : [own],
  };
}

/** The places of this amplifier between which a new part goes. */
export function findSite(change: ModChange, bridge: Bridge, isNamedAlike: boolean): SiteFound {
  const { modView, origin, view, language } = bridge;
  const { mods: w } = language.says;
  const own = modView?.parts.get(change.ref.name) ?? plannedPart(change, origin?.view ?? view);
  if (own === undefined || own.terminals.size === 0) return { kind: 'open', why: w.saysNotWhere };
  if (origin === undefined && !isNamedAlike)
    return {
      kind: 'open',
      why: w.noOriginNames,
    };
  const terminals = new Map<string, string>();
  for (const [terminal, node] of own.terminals) {
    const place = placeOf(node, bridge);
    if (place === undefined) return { kind: 'open', why: w.placeUnknown(node) };
    terminals.set(terminal, place);
  }
  const places = [...new Set(terminals.values())];
  if (modView === undefined || !isTied(own, modView, bridge)) return { kind: 'open', why: w.notTied };
  const here = places.filter((node) => node === 'gnd' || view.circuit.nodes.includes(node));
  const made = places.filter((node) => !here.includes(node));
  return { kind: 'site', terminals, how: siteSaid(here, made, language) };
}

/** A part that stands in an open task of the mod sheet: none of its states has it yet. */
function plannedPart({ ends, is }: ModChange, view: PhaseView): FittedPart | undefined {
  const [one, two] = (ends ?? []).map((point) => {
    const { name } = nameOfPoint(point, () => undefined);
    return view.circuit.nodeOf(name) ?? name;
  });
  if (is === undefined || one === undefined || two === undefined || !TWO_ENDED.has(is.class))
    return undefined;
  return { ...is, terminals: new Map([['1', one] as const, ['2', two] as const]) };
}

const TWO_ENDED: ReadonlySet<FittedPart['class']> = new Set(['resistor', 'capacitor', 'inductor', 'fuse']);

/** `between B+1 and gnd`, `at fb`; undefined where it hangs on nothing but what the mod makes. */
function siteSaid(
  here: readonly string[],
  made: readonly string[],
  language: ShopLanguage,
): string | undefined {
  if (made.length === 0) return between(here, language);
  const live = here.filter((node) => node !== 'gnd');
  return live.length === 0 ? undefined : between(live, language);
}

/** Whether the part leads to a place of this amplifier, by itself or over other parts that the mod adds. */
function isTied(own: FittedPart, modView: PhaseView, bridge: Bridge): boolean {
  const seen = new Set<string>();
  const waiting = [...own.terminals.values()];
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    if (node === 'gnd' || seen.has(node)) continue;
    seen.add(node);
    const place = placeOf(node, bridge);
    if (place !== undefined && bridge.view.circuit.nodes.includes(place)) return true;
    for (const { ref } of modView.circuit.attached(node))
      waiting.push(...(modView.parts.get(ref)?.terminals.values() ?? []));
  }
  return false;
}

/** What a part of the mod that was found here teaches: the one place of its that was not known. */
export function learnPlace(ref: string, part: FittedPart, bridge: Bridge): Bridge {
  const { modView, origin, view, made } = bridge;
  const own = modView?.parts.get(ref);
  if (own === undefined) return bridge;
  const isKnown = (node: string) =>
    node === 'gnd' || (origin?.view ?? view).circuit.nodes.includes(node) || made.has(node);
  const open = [...new Set(own.terminals.values())].filter((node) => !isKnown(node));
  const known = new Set([...own.terminals.values()].filter(isKnown).map((node) => placeOf(node, bridge)));
  const left = [...new Set(part.terminals.values())].filter((node) => !known.has(node));
  const [from] = open;
  const [to] = left;
  if (open.length !== 1 || left.length !== 1 || from === undefined || to === undefined) return bridge;
  return { ...bridge, made: new Map([...made, [from, to]]) };
}

/** A node of the mod by the names of this amplifier; one that the mod makes keeps its name. */
function placeOf(node: string, { origin, view, made }: Bridge): string | undefined {
  if (node === 'gnd') return node;
  const known = made.get(node);
  if (known !== undefined) return known;
  if (origin === undefined) return view.circuit.nodeOf(node) ?? (isOwnNode(node) ? node : undefined);
  if (origin.view.circuit.nodes.includes(node)) return origin.matching.nodeWas(node);
  // What its own sheet has not, the mod makes: a place of its own name, or the end of a part that it adds.
  return node;
}

/** A place that bears a word of the writer's, or the end of a new part. */
function isOwnNode(node: string): boolean {
  return !/^(?:V\d|B[+-]|HT)/.test(node);
}

/** A point that the mod writes, by the names of this amplifier. */
export function pointHere(point: Point, bridge: Bridge): string | undefined {
  const { name } = nameOfPoint(point, () => undefined);
  if (name === 'gnd') return name;
  const known = bridge.origin?.view.circuit.nodeOf(name) ?? name;
  return placeOf(known, bridge);
}

/** What sits there, in words: `C8 22 µF 25 V`. */
export function sayPart(part: FittedPart, language: ShopLanguage): string {
  return `${part.ref} ${sayMarked(part, language)}`.trim();
}
