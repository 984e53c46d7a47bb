/**
 * Owns giving a part another name: on its sheet and on all that share its names, in tags and, where the writer agrees, in prose. It
 * changes a name everywhere or nowhere: where it cannot, it says why.
 */
import { scanRef } from '../dialect/references.ts';
import type { Condition, PartClass, Point, Ref, Tag } from '../dialect/tree.ts';
import { nameOfClass } from '../dialect/vocabulary.ts';
import type { Sheet } from '../sheet/model.ts';
import { tagsOf } from '../sheet/phases.ts';
import type { Analysis } from '../shop/shop.ts';
import { fileName } from '../shop/uris.ts';
import type { Edit } from '../text/edits.ts';
import { contains, type Span } from '../text/span.ts';
import { declaredIn, findTarget, namesMeant, placesIn, wholeOf } from './named-places.ts';

export interface Refusal {
  readonly ok: false;
  /** In a technician's words. */
  readonly reason: string;
}

export interface Renameable {
  readonly ok: true;
  /** What the writer is asked to write anew. */
  readonly span: Span;
  readonly name: string;
}

export interface RenameEdit extends Edit {
  /** A bare word or the words under a photo: the writer is asked first. */
  readonly isProse: boolean;
}

export interface Renamed {
  readonly ok: true;
  readonly sheets: readonly { readonly sheet: Sheet; readonly edits: readonly RenameEdit[] }[];
}

/** The sheets that a name is changed on, and those that might hold it and are not to be had. */
export interface RenameFamily {
  /** All that may speak of the part under its old or its new name. */
  readonly sheets: readonly Sheet[];
  readonly missing: readonly string[];
  /** Mod sheets that are written for another family's chassis sheets too. */
  readonly shared: readonly string[];
}

/** Whether what stands at an offset can be renamed at all. */
export function prepareRename(analysis: Analysis, offset: number): Renameable | Refusal {
  const target = findTarget(analysis, offset);
  if (target === undefined)
    return refuse('There is no part here to rename: put the cursor on one, such as R17.');
  const { kind, name, span } = target;
  if (kind === 'point') return refuse(`${name} is a point of the circuit. Only parts can be renamed.`);
  return { ok: true, span, name };
}

/** Why the family as it lies on the disk does not allow a name to be changed; undefined where it does. */
export function findHindrance(name: string, { missing, shared, sheets }: RenameFamily): Refusal | undefined {
  const [gone] = missing;
  if (gone !== undefined) {
    return refuse(`${fileName(gone)} cannot be read, and may speak of ${name} too, so nothing was renamed.`);
  }
  const [mod] = shared;
  if (mod !== undefined) {
    return refuse(
      `The mod sheet ${fileName(mod)} is written for other chassis sheets too, and there ${name} keeps its name. Give this chassis a mod sheet of its own first.`,
    );
  }
  const unread = sheets.find(({ problems }) => problems.some(({ kind }) => kind === 'sheet-too-large'));
  if (unread !== undefined) {
    return refuse(
      `${fileName(unread.uri)} is too large to be read, and may speak of ${name} too, so nothing was renamed.`,
    );
  }
  const renumbered = sheets.find((sheet) => isRenumbered(sheet, wholeOf(name)));
  if (renumbered !== undefined) {
    return refuse(
      `${fileName(renumbered.uri)} says that parts were renumbered there, ${name} among them: the name means one part before and another after. Rename it by hand.`,
    );
  }
  return undefined;
}

/** `R17: was R44`: the two names are one part on both sides of that line, and each is another part on the other side. */
function isRenumbered({ statements }: Sheet, whole: string): boolean {
  return statements.some(
    (each) =>
      each.kind === 'provenance' &&
      each.says === 'was' &&
      (each.ref.whole === whole || each.was?.whole === whole),
  );
}

/** All edits that make `name` into `written`, or why it cannot be done. */
export function rename(name: string, written: string, family: RenameFamily): Renamed | Refusal {
  const hindrance = findHindrance(name, family);
  if (hindrance !== undefined) return hindrance;
  const { sheets } = family;
  const chassisNames = new Set(
    sheets.flatMap((sheet) => (sheet.kind === 'chassis' ? [...declaredIn(sheet)] : [])),
  );
  const declared = new Set(sheets.flatMap((sheet) => [...declaredIn(sheet)]));
  /** Where each name stands first, but for bare words, which may be anybody's. */
  const named = new Map<string, Sheet>();
  for (const sheet of sheets) {
    for (const { ref, how } of placesIn(sheet, chassisNames)) {
      if (ref !== undefined && how !== 'prose' && !named.has(ref)) named.set(ref, sheet);
    }
  }
  const plan = planNames(name, written, [...named.keys()], (each) => declared.has(each));
  if (!plan.ok) return plan;
  const { names } = plan;
  if ([...names].every(([from, to]) => from === to)) return { ok: true, sheets: [] };
  for (const [from, to] of names) {
    const taken = [...named.keys()].find((each) => isTaken(each, from, to, names));
    const there = taken === undefined ? undefined : named.get(taken);
    if (taken !== undefined && there !== undefined)
      return refuse(`${taken} is already named in ${fileName(there.uri)}. Choose a name that is free.`);
  }
  const edited: { readonly sheet: Sheet; readonly edits: readonly RenameEdit[] }[] = [];
  for (const sheet of sheets) {
    const edits = editsOn(sheet, names, chassisNames);
    if ('reason' in edits) return edits;
    if (edits.length > 0) edited.push({ sheet, edits });
  }
  return { ok: true, sheets: edited };
}

/** A new name is taken by itself, by the whole that it would be a section of, and by sections of it. */
function isTaken(each: string, from: string, to: string, names: ReadonlyMap<string, string>): boolean {
  if (names.has(each)) return false;
  if (each === to) return true;
  // A section that only changes its letter stays beside its sisters.
  if (wholeOf(from) === wholeOf(to)) return false;
  return each === wholeOf(to) || wholeOf(each) === to;
}

interface NamePlan {
  readonly ok: true;
  /** Old name to new, sections included. */
  readonly names: ReadonlyMap<string, string>;
}

function planNames(
  name: string,
  written: string,
  all: readonly string[],
  isDeclared: (name: string) => boolean,
): NamePlan | Refusal {
  const from = readName(name);
  const to = readName(written);
  if (from === undefined) return refuse(`${name} is no part. Only parts can be renamed.`);
  if (to === undefined) return refuse(`“${written.trim()}” is no name of a part. ${sayNames(from)}`);
  if (!isSameClass(from.class, to.class)) {
    return refuse(
      `${to.name} would be ${nameOfClass(to.class)}, and ${name} is ${nameOfClass(from.class)}. ${sayNames(from)}`,
    );
  }
  if (from.section === undefined) {
    if (to.section !== undefined && from.class === 'valve') {
      return refuse(
        `${to.name} is one section of ${to.whole}, and ${name} is a whole valve. Write ${to.whole}: its sections follow.`,
      );
    }
    const meant = namesMeant(name, all, isDeclared);
    return {
      ok: true,
      names: new Map([...meant].map((each) => [each, to.name + each.slice(from.whole.length)])),
    };
  }
  const isHalf = from.class === 'valve' || !isDeclared(from.name) || !isDeclared(from.whole);
  if (!isHalf || (to.whole === from.whole && to.section !== undefined))
    return { ok: true, names: new Map([[name, to.name]]) };
  if (to.section !== from.section) {
    return refuse(
      `${name} is section ${from.section} of ${from.whole}. Write ${to.whole}${from.section} to rename all of ${from.whole}, or ${from.whole} with another letter to rename this section alone.`,
    );
  }
  const meant = namesMeant(from.whole, all, isDeclared);
  return {
    ok: true,
    names: new Map([...meant].map((each) => [each, to.whole + each.slice(from.whole.length)])),
  };
}

/** A name as anyone types it into a box: with spaces round it, in small letters. */
function readName(written: string): Ref | undefined {
  const text = written.trim();
  for (const spelled of [text, text.toUpperCase()]) {
    const scanned = scanRef(spelled, 0);
    if (scanned?.end === spelled.length) return scanned.ref;
  }
  return undefined;
}

function sayNames({ whole }: Ref): string {
  return `Write ${whole.replace(/\d+$/, '')} and a number, like ${whole}.`;
}

/** TR is a transformer or a transistor, and may be spelled as either. */
function isSameClass(from: PartClass, to: PartClass): boolean {
  if (from === to) return true;
  const either: readonly PartClass[] = ['transformer', 'transistor'];
  return (
    (from === 'transformer-or-transistor' && either.includes(to)) ||
    (to === 'transformer-or-transistor' && either.includes(from))
  );
}

// ---------------------------------------------------------------------------------------------------------------
// The edits of one sheet

function editsOn(
  sheet: Sheet,
  names: ReadonlyMap<string, string>,
  chassisNames: ReadonlySet<string>,
): readonly RenameEdit[] | Refusal {
  const { text } = sheet.snapshot;
  const lists = sheet.note.blocks.flatMap((block) => [
    ...tagsOf(block).flatMap(listsIn),
    ...(block.kind === 'passage' ? block.images.map(({ refs }) => refs) : []),
  ]);
  const ranges = lists.flatMap((refs) => rangesIn(refs, text));
  const edits = new Map<number, RenameEdit>();
  const add = (span: Span, to: string, isProse: boolean): void => {
    if (text.slice(span.start, span.end) !== to && !edits.has(span.start))
      edits.set(span.start, { span, text: to, isProse });
  };
  const words = new Set([...chassisNames].filter((each) => names.has(each)));
  for (const { ref, refSpan, how } of placesIn(sheet, words)) {
    const to = ref === undefined ? undefined : names.get(ref);
    if (ref === undefined || refSpan === undefined || to === undefined) continue;
    const range = ranges.find(({ span }) => contains(span, refSpan));
    if (range !== undefined) {
      add(range.span, spellRange(range, names), how === 'prose');
      continue;
    }
    const spelled = respell(text.slice(refSpan.start, refSpan.end), ref, to);
    if (spelled === undefined) {
      return refuse(
        `${fileName(sheet.uri)} names ${ref} in a way that cannot be rewritten (“${text.slice(refSpan.start, refSpan.end)}”). Write it as ${ref} there first.`,
      );
    }
    add(refSpan, spelled, how === 'prose');
  }
  // A number that takes its letters from a name before it (`RV1, 2`) is spelled out where that name's letters change.
  for (const refs of lists) {
    refs.forEach((ref, i) => {
      const before = refs[i - 1];
      if (
        before === undefined ||
        !isBare(text, ref.span) ||
        ranges.some(({ span }) => contains(span, ref.span))
      )
        return;
      const isChanged = lettersOf(names.get(before.name) ?? before.name) !== lettersOf(before.name);
      if (isChanged && names.get(ref.name) === undefined) add(ref.span, ref.name, false);
    });
  }
  return [...edits.values()].sort((a, b) => a.span.start - b.span.start);
}

function isBare(text: string, span: Span): boolean {
  return /^\d+[A-Fa-f]?$/.test(text.slice(span.start, span.end));
}

function lettersOf(name: string): string {
  return /^[A-Z]*/.exec(name)?.[0] ?? '';
}

/** The new name in the manner of the old one: `V1-a` stays hyphened and small, `45` of `R40, 45` stays a number. */
function respell(spelling: string, from: string, to: string): string | undefined {
  const bare = /^(\d+)([A-Fa-f]?)$/.exec(spelling);
  if (bare !== null) {
    if (lettersOf(from) !== lettersOf(to)) return to;
    const ref = scanRef(to, 0)?.ref;
    return ref === undefined
      ? undefined
      : ref.whole.slice(lettersOf(to).length) + inManner(bare[2] ?? '', ref.section ?? '');
  }
  const scanned = scanRef(spelling, 0);
  if (scanned?.end !== spelling.length || scanned.ref.name !== from) return undefined;
  const ref = scanRef(to, 0)?.ref;
  return ref === undefined
    ? undefined
    : ref.whole + inManner(spelling.slice(scanned.ref.whole.length), ref.section ?? '');
}

/** The section's letter as the old one was written. */
function inManner(tail: string, section: string): string {
  if (section === '' || section === "'") return section;
  const hyphen = tail.startsWith('-') ? '-' : '';
  return hyphen + (/[a-f]$/.test(tail) ? section.toLowerCase() : section);
}

/** Refs that a tag names one after another. */
function listsIn(tag: Tag): readonly (readonly Ref[])[] {
  const conditions = tag.conditions.map(({ refs }: Condition) => refs);
  switch (tag.kind) {
    case 'candidate':
      return listsIn(tag.tag);
    case 'mention':
      return [refsAmong(tag.points), ...conditions];
    case 'state':
    case 'accept':
      return [refsAmong(tag.subjects), ...conditions];
    case 'fitted':
    case 'change':
    case 'keep':
    case 'provenance':
      return [tag.refs, ...conditions];
    case 'reading':
      // Of several parts read at once, each is an item of its own.
      return [
        tag.refs,
        refsAmong(tag.items.map(({ at }) => (at.kind === 'terminal' ? at.ref : at))),
        ...conditions,
      ];
    default:
      return conditions;
  }
}

function refsAmong(points: readonly Point[]): readonly Ref[] {
  const refs = points.filter((point) => point.kind === 'ref');
  // One part read in several ways is one name.
  return refs.filter((ref, i) => refs[i - 1]?.name !== ref.name);
}

interface Range {
  readonly span: Span;
  readonly refs: readonly Ref[];
  /** `-`, ` to `. */
  readonly sign: string;
}

const RANGE_SIGN = /^\s*(?:-|\.\.\.?|to|thru|through)\s*$/;

/** `D1-D4` in a list: its ends stand for themselves, the parts between them where the whole stands. */
function rangesIn(refs: readonly Ref[], text: string): readonly Range[] {
  const ranges: Range[] = [];
  for (let i = 0; i + 1 < refs.length; i++) {
    const first = refs[i];
    if (first === undefined) break;
    let end = i + 1;
    while (refs[end] !== undefined && isImplied(first, refs[end])) end++;
    const last = refs[end];
    if (last === undefined) continue;
    const sign = text.slice(first.span.end, last.span.start);
    // Of two neighbours nothing stands between but the sign.
    if (!RANGE_SIGN.test(sign)) continue;
    ranges.push({
      span: { start: first.span.start, end: last.span.end },
      refs: refs.slice(i, end + 1),
      sign: sign.trim() === '-' ? '-' : sign,
    });
    i = end;
  }
  return ranges;
}

function isImplied(first: Ref, ref: Ref | undefined): boolean {
  return ref !== undefined && ref.span.start === first.span.start && ref.name !== first.name;
}

/** The range with its new names, in its order: what still follows one on another stays a range. */
function spellRange({ refs, sign }: Range, names: ReadonlyMap<string, string>): string {
  const now = refs.map(({ name }) => names.get(name) ?? name);
  const parts: string[] = [];
  for (let i = 0; i < now.length; ) {
    let end = i;
    while (end + 1 < now.length && follows(now[end], now[end + 1])) end++;
    const [first = '', last = ''] = [now[i], now[end]];
    if (end - i >= 2) parts.push(first + sign + last);
    else parts.push(...now.slice(i, end + 1));
    i = end + 1;
  }
  return parts.join(', ');
}

function follows(a: string | undefined, b: string | undefined): boolean {
  const [first, second] = [a, b].map((name) => (name === undefined ? undefined : scanRef(name, 0)?.ref));
  if (first === undefined || second === undefined) return false;
  if (first.section !== undefined || second.section !== undefined) return false;
  const letters = lettersOf(first.name);
  return (
    letters === lettersOf(second.name) &&
    Number(second.name.slice(letters.length)) === Number(first.name.slice(letters.length)) + 1
  );
}

function refuse(reason: string): Refusal {
  return { ok: false, reason };
}
