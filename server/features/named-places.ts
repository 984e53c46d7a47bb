/**
 * Owns every place of a sheet where a part or point is named, for whoever goes from name to name: what the sheet knows of, and
 * the names in questions, under photos, in tags that cannot be read, and bare words for parts of the chassis sheet.
 */
import { scanPoint } from '../dialect/points.ts';
import { scanRef } from '../dialect/references.ts';
import type { Block, Point, Tag } from '../dialect/tree.ts';
import { proseMentions } from '../sheet/mentions.ts';
import type { Mention, Sheet } from '../sheet/model.ts';
import { nameOf } from '../sheet/names.ts';
import { tagsOf } from '../sheet/phases.ts';
import type { Analysis } from '../shop/shop.ts';
import { type Span, shift, touches } from '../text/span.ts';
import { readQuestion } from '../units/question.ts';

/** All places, in order. `known` are names of parts that the sheet itself need not declare; bare words in prose may mean them. */
export function placesIn(sheet: Sheet, known: ReadonlySet<string>): readonly Mention[] {
  const places = new Map<string, Mention>();
  const add = (mention: Mention): void => {
    const key = `${mention.span.start} ${mention.span.end} ${mention.name}`;
    if (!places.has(key)) places.set(key, mention);
  };
  for (const mention of sheet.mentions) add(mention);
  for (const block of sheet.note.blocks) {
    for (const tag of tagsOf(block)) for (const mention of beside(tag, sheet.snapshot.text)) add(mention);
    for (const mention of underPhotos(block)) add(mention);
  }
  for (const mention of proseMentions(sheet.note, known)) add(mention);
  return [...places.values()].sort((a, b) => a.span.start - b.span.start || b.span.end - a.span.end);
}

/** What the sheet's own list leaves out of a tag. */
function beside(tag: Tag, text: string): readonly Mention[] {
  switch (tag.kind) {
    case 'candidate':
      return beside(tag.tag, text);
    case 'question':
      return inQuestion(tag.expression, text);
    case 'provenance':
      return tag.was === undefined ? [] : [ofPoint(tag.was, 'mention')];
    case 'unreadable': {
      const { ref } = scanRef(text, tag.opens.span.start) ?? {};
      return ref === undefined ? [] : [ofPoint(ref, 'mention')];
    }
    default:
      return [];
  }
}

function inQuestion(
  { span, text: expression }: { readonly span: Span; readonly text: string },
  text: string,
): readonly Mention[] {
  const words = readQuestion(expression);
  if (!words.ok) return [];
  return words.tokens.flatMap((token) => {
    if (token.kind !== 'name') return [];
    const at = shift(token.span, span.start);
    const point = scanPoint(text, at.start, { free: true, gap: false, hyphenSection: false });
    return point?.end === at.end ? [ofPoint(point.point, 'mention')] : [];
  });
}

function underPhotos(block: Block): readonly Mention[] {
  if (block.kind !== 'passage') return [];
  return block.images.flatMap(({ refs }) => refs.map((ref) => ofPoint(ref, 'prose')));
}

function ofPoint(point: Point, how: Mention['how']): Mention {
  const base = { name: nameOf(point), span: point.span, how };
  if (point.kind === 'node') return base;
  const ref = point.kind === 'ref' ? point : point.ref;
  return { ...base, ref: ref.name, refSpan: ref.span };
}

const placesOf = new WeakMap<Analysis, readonly Mention[]>();

/** The places of a sheet whose amplifier is known. */
export function placesOn(analysis: Analysis): readonly Mention[] {
  const there = placesOf.get(analysis);
  if (there !== undefined) return there;
  const known = new Set(analysis.amplifier.phases.flatMap(({ parts }) => [...parts.keys()]));
  for (const name of [...known]) known.add(wholeOf(name));
  const places = placesIn(analysis.sheet, known);
  placesOf.set(analysis, places);
  return places;
}

/** What is named at an offset: a part (with all its sections, where it is named whole), or one point. */
export interface Target {
  readonly kind: 'part' | 'point';
  /** `V1`, `V1A`, `V5.a`, `B+1`, `tail`. */
  readonly name: string;
  /** The name's own letters under the cursor. */
  readonly span: Span;
}

/** The shortest name that an offset touches: `a` of `V5.a` means that point, its `V5` the valve. */
export function findTarget(analysis: Analysis, offset: number): Target | undefined {
  let best: Target | undefined;
  for (const { name, ref, span, refSpan } of placesOn(analysis)) {
    const isOnRef = ref !== undefined && refSpan !== undefined && touches(refSpan, offset);
    if (!isOnRef && !touches(span, offset)) continue;
    const found: Target = isOnRef
      ? { kind: 'part', name: ref, span: refSpan }
      : { kind: 'point', name, span };
    if (best === undefined || lengthOf(found.span) < lengthOf(best.span)) best = found;
  }
  return best;
}

function lengthOf({ start, end }: Span): number {
  return end - start;
}

/** `V1` of `V1A`; a whole part's name is its own. */
export function wholeOf(name: string): string {
  return scanRef(name, 0)?.ref.whole ?? name;
}

/**
 * The names that a part's name stands for among `names`: itself, and where it names the whole, its sections. `C5A` beside `C5` is
 * a section of it unless both are declared; halves of a valve always are.
 */
export function namesMeant(
  name: string,
  names: Iterable<string>,
  isDeclared: (name: string) => boolean,
): ReadonlySet<string> {
  const meant = new Set([name]);
  const own = scanRef(name, 0)?.ref;
  if (own === undefined || own.section !== undefined) return meant;
  const isWholeDeclared = own.class !== 'valve' && isDeclared(name);
  for (const each of names) {
    if (each !== name && wholeOf(each) === name && !(isWholeDeclared && isDeclared(each))) meant.add(each);
  }
  return meant;
}

/** Names of parts that a line of the sheet fits or changes. */
export function declaredIn(sheet: Sheet): ReadonlySet<string> {
  return new Set(
    sheet.mentions.flatMap(({ how, ref }) => (how === 'declaration' && ref !== undefined ? [ref] : [])),
  );
}
