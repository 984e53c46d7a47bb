/**
 * Owns which parts are to be bought: what open jobs plan to fit and have not fitted yet, and the same part of several jobs as
 * one line with its quantity. What makes a change one to order is decided here for every page.
 */
import { isAlike } from '../bench/change-states.ts';
import type { Amplifier, FittedPart, PartChange } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import type { PartClass } from '../dialect/tree.ts';
import { isReturned } from '../rules/work-done.ts';
import type { Sheet } from '../sheet/model.ts';
import { type Range, rangeOf } from '../text/snapshot.ts';
import { contains } from '../text/span.ts';
import { lastState } from './compare.ts';
import { isCan, sayAsked, sayMarked } from './compare-words.ts';
import { asFoundOf, roleOf } from './exposure.ts';
import type { Analysis } from './shop.ts';
import { englishShop, type ShopLanguage } from './shop-words.ts';
import { type Substitute, substitutesFor } from './substitutes.ts';
import { compareText, compareVisits, fieldOf, type Visit, visitOf } from './visits.ts';

/** Planned, a part and no mere work: in an unticked task, or under Wanted, Quote or Order and not ticked off there. */
export function isToOrder(change: PartChange, sheet: Sheet): boolean {
  const { planned, is, work } = change;
  return planned && is !== undefined && work === undefined && !isTicked(change, sheet);
}

/** One part that one job wants. */
export interface OrderItem {
  readonly ref: string;
  readonly class: PartClass;
  /** `47 µF 550 V electrolytic`. */
  readonly what: string;
  /** What there is now, where that is known. */
  readonly was?: string;
  readonly role?: string;
  /** Equal for parts that one purchase serves. */
  readonly key: string;
  /** In SI, for what a line could serve beside its own. */
  readonly value?: number;
  readonly voltage?: number;
  readonly power?: number;
  /** Where one is asked for, as a share. */
  readonly tolerance?: number;
  readonly kinds: readonly string[];
  /** Names that the same valve is sold under. */
  readonly alsoSoldAs: readonly string[];
  readonly substitutes: readonly Substitute[];
  readonly range: Range;
}

export interface JobOrders {
  readonly visit: Visit;
  /** What the owner allows, as written. */
  readonly limit?: string;
  readonly items: readonly OrderItem[];
  /** Entries of the list that name no part: `grille cloth, 60 cm`. */
  readonly inWords: readonly { readonly text: string; readonly range: Range }[];
}

/** What an open job wants; undefined of a job that has gone back and of any other sheet. */
export function ordersOf(analysis: Analysis, path: string, language: ShopLanguage): JobOrders | undefined {
  const { sheet, amplifier, input } = analysis;
  const visit = visitOf(analysis, path, language);
  if (visit === undefined || isReturned(sheet)) return undefined;
  const items: OrderItem[] = [];
  const taken = new Set<string>();
  for (const change of amplifier.changes) {
    if (!isToOrder(change, sheet) || change.is === undefined || isFittedSince(change, amplifier)) continue;
    const bought = boughtAs(change, change.is);
    // Both halves of a valve, or both sections of a can, are one thing to buy.
    if (taken.has(`${bought} ${keyOf(change.is, sheet)}`)) continue;
    taken.add(`${bought} ${keyOf(change.is, sheet)}`);
    const substitutes = substitutesFor(change, amplifier, input, language);
    items.push(itemOf(change, change.is, bought, analysis, substitutes, language));
  }
  const limit = fieldOf(sheet, 'limit');
  return {
    visit,
    ...(limit !== undefined && { limit }),
    items: items.sort((a, b) => compareNames(a.ref, b.ref)),
    inWords: wordsIn(sheet),
  };
}

/** Ticked off: it has come. */
function isTicked({ source }: PartChange, { note }: Sheet): boolean {
  return note.blocks.some(
    (block) => block.kind === 'passage' && block.task === 'done' && contains(block.span, source.span),
  );
}

/** The whole valve of a half, the whole can of a section. */
function boughtAs({ ref }: PartChange, is: FittedPart): string {
  return is.class === 'valve' || isCan(is) ? is.whole : ref;
}

/** Whether the work has fitted the very part meanwhile. */
function isFittedSince({ ref, is }: PartChange, { changes }: Amplifier): boolean {
  return changes.some(
    (done) =>
      !done.planned &&
      done.work === undefined &&
      done.ref === ref &&
      done.is !== undefined &&
      is !== undefined &&
      isAlike({ ...is, terminals: done.is.terminals, measured: [] }, { ...done.is, measured: [] }),
  );
}

function itemOf(
  change: PartChange,
  is: FittedPart,
  ref: string,
  analysis: Analysis,
  substitutes: readonly Substitute[],
  language: ShopLanguage,
): OrderItem {
  const { sheet, amplifier } = analysis;
  const view = lastState(amplifier) ?? asFoundOf(analysis);
  const placed =
    view?.parts.get(change.ref) ??
    [...(view?.parts.values() ?? [])].find(({ whole }) => whole === change.ref);
  const role = placed && view && roleOf(placed, view, language);
  const what = whatOf(is, sheet, language);
  const was = change.was === undefined ? '' : sayMarked(change.was, language);
  const { voltage, power } = is.ratings;
  return {
    ref,
    class: is.class,
    what,
    ...(was !== '' && { was }),
    ...(role !== undefined && { role }),
    key: keyOf(is, sheet),
    ...(is.value !== undefined && !isCan(is) && { value: is.value.quantity.value }),
    ...(voltage !== undefined && { voltage: voltage.quantity.value }),
    ...(power !== undefined && { power: power.quantity.value }),
    ...(is.isToleranceMarked && { tolerance: is.tolerance }),
    kinds: [...is.kinds].sort(),
    alsoSoldAs: otherNames(is),
    substitutes,
    range: rangeOf(sheet.snapshot, change.source.span),
  };
}

const MOST_NAMES = 5;

/** The names of a valve's type, without the one that is asked for. */
function otherNames({ type }: FittedPart): readonly string[] {
  const { valve, text } = type ?? {};
  if (valve === undefined) return [];
  return [valve.type, ...valve.synonyms]
    .filter((name) => name.toUpperCase() !== text?.toUpperCase())
    .slice(0, MOST_NAMES);
}

/** As marked; what the parts list has no words for (windings, a fuse) as it is written. */
function whatOf(part: FittedPart, sheet: Sheet, language: ShopLanguage): string {
  const marked = sayAsked(part, language);
  const { specification } = part;
  const isPlain = part.class === 'resistor' || part.class === 'capacitor' || part.class === 'valve';
  if ((marked !== '' && isPlain && !isCan(part)) || specification === undefined) return marked;
  const written = sheet.snapshot.text
    .slice(specification.span.start, specification.span.end)
    .replace(/\s+/g, ' ')
    .trim();
  return written === '' ? marked : written;
}

/** What two jobs must have alike to be one line: told in one language, since each job may speak its own. */
function keyOf(part: FittedPart, sheet: Sheet): string {
  const type = part.type?.valve?.type ?? part.type?.text.toUpperCase();
  const { voltage, power, current } = part.ratings;
  const isPlain = part.class === 'resistor' || part.class === 'capacitor' || part.class === 'valve';
  return [
    part.class,
    type ?? '',
    ...(isPlain && !isCan(part)
      ? [part.value, voltage, power, current].map((known) => String(known?.quantity.value ?? ''))
      : [whatOf(part, sheet, englishShop).toLowerCase()]),
    part.isToleranceMarked ? String(part.tolerance) : '',
    [...part.kinds].sort().join('+'),
  ].join(' ');
}

const ORDERING = /^(?:order|buy|get|need(?:ed)?|bestell\w*|besorg\w*|kaufen)\b[:,]?\s*/i;

/** Entries to buy that no tag speaks of: anything under Wanted or Order, and open tasks that say to order. */
function wordsIn(sheet: Sheet): JobOrders['inWords'] {
  const { blocks } = sheet.note;
  return blocks.flatMap((block) => {
    if (block.kind !== 'passage' || block.container !== 'item' || block.task === 'done') return [];
    if (block.tags.some(({ kind }) => kind !== 'mention')) return [];
    const section = sheet.sections.findLast(({ headingSpan }) => headingSpan.end <= block.span.start);
    const text = sheet.snapshot.text
      .slice(block.span.start, block.span.end)
      .replace(/^\s*(?:[-*+]|\d+[.)])\s+(?:\[[ xX]\]\s+)?/, '')
      .replace(/[{}]/g, '')
      .replace(/\s+/g, ' ')
      .trim();
    const isWanted = section?.topic === 'wanted';
    if (text === '' || !(isWanted || (block.task === 'open' && ORDERING.test(text)))) return [];
    return [{ text: text.replace(ORDERING, ''), range: rangeOf(sheet.snapshot, block.span) }];
  });
}

/** One line of the list: the same part for any number of jobs. */
export interface OrderLine {
  readonly class: PartClass;
  readonly what: string;
  readonly quantity: number;
  readonly for: readonly { readonly visit: Visit; readonly items: readonly OrderItem[] }[];
  readonly alsoSoldAs: readonly string[];
  readonly substitutes: readonly {
    readonly of: Substitute['of'];
    readonly what: string;
    /** What it changes, and where that is so. */
    readonly differences: readonly {
      readonly visit: Visit;
      readonly refs: readonly string[];
      readonly says: string;
    }[];
  }[];
  /** Other lines of this list that would serve here too: more volts or watts at the same value and kind. */
  readonly servedBy: readonly string[];
}

export interface OrderList {
  readonly openJobs: number;
  readonly pieces: number;
  readonly lines: readonly OrderLine[];
  readonly jobs: readonly JobOrders[];
}

const CLASS_ORDER: readonly PartClass[] = [
  'valve',
  'capacitor',
  'resistor',
  'potentiometer',
  'diode',
  'fuse',
];

/** One list of what all open jobs want. */
export function gatherOrders(all: readonly JobOrders[]): OrderList {
  const jobs = [...all].sort((a, b) => compareVisits(a.visit, b.visit));
  const byKey = new Map<string, { readonly visit: Visit; readonly items: OrderItem[] }[]>();
  for (const { visit, items } of jobs)
    for (const item of items) {
      const line = byKey.get(item.key) ?? [];
      byKey.set(item.key, line);
      const own = line.find((each) => each.visit === visit);
      if (own === undefined) line.push({ visit, items: [item] });
      else own.items.push(item);
    }
  const samples = [...byKey.values()].flatMap((line) => line[0]?.items[0] ?? []);
  const lines = [...byKey.values()].flatMap((wanted): readonly OrderLine[] => {
    const first = wanted[0]?.items[0];
    if (first === undefined) return [];
    return [
      {
        class: first.class,
        what: first.what,
        quantity: wanted.reduce((sum, { items }) => sum + items.length, 0),
        for: wanted,
        alsoSoldAs: first.alsoSoldAs,
        substitutes: mergeSubstitutes(wanted),
        servedBy: samples.filter((other) => servesToo(other, first)).map(({ what }) => what),
      },
    ];
  });
  return {
    openJobs: jobs.length,
    pieces: lines.reduce((sum, { quantity }) => sum + quantity, 0),
    lines: lines.sort(inOrder),
    jobs: jobs.filter(({ items, inWords }) => items.length + inWords.length > 0),
  };
}

function inOrder(a: OrderLine, b: OrderLine): number {
  const place = (of: PartClass) => {
    const at = CLASS_ORDER.indexOf(of);
    return at < 0 ? CLASS_ORDER.length : at;
  };
  const value = ({ for: wanted }: OrderLine) => wanted[0]?.items[0]?.value ?? 0;
  return place(a.class) - place(b.class) || value(a) - value(b) || compareText(a.what, b.what);
}

function mergeSubstitutes(wanted: OrderLine['for']): OrderLine['substitutes'] {
  const merged = new Map<
    string,
    { of: Substitute['of']; what: string; differences: { visit: Visit; refs: string[]; says: string }[] }
  >();
  for (const { visit, items } of wanted)
    for (const { ref, substitutes } of items)
      for (const { of, what, difference } of substitutes) {
        const own = merged.get(what) ?? { of, what, differences: [] };
        merged.set(what, own);
        const same = own.differences.find((each) => each.visit === visit && each.says === difference);
        if (same === undefined) own.differences.push({ visit, refs: [ref], says: difference });
        else same.refs.push(ref);
      }
  // What serves in one place of a line and not in another is no substitute for the line.
  const places = wanted.reduce((sum, { items }) => sum + items.length, 0);
  return [...merged.values()].filter(
    ({ differences }) => differences.reduce((sum, { refs }) => sum + refs.length, 0) === places,
  );
}

/** The same value and kinds, and rated higher. */
function servesToo(other: OrderItem, wanted: OrderItem): boolean {
  if (
    other === wanted ||
    other.class !== wanted.class ||
    other.value === undefined ||
    other.value !== wanted.value
  )
    return false;
  if (other.kinds.join() !== wanted.kinds.join()) return false;
  const isEnough = (of: 'voltage' | 'power') =>
    wanted[of] === undefined || (other[of] !== undefined && other[of] >= wanted[of]);
  const isCloseEnough =
    wanted.tolerance === undefined || (other.tolerance !== undefined && other.tolerance <= wanted.tolerance);
  return isEnough('voltage') && isEnough('power') && isCloseEnough && other.key !== wanted.key;
}
