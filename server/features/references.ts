/** Owns where else a part or point is named: on this sheet, and on all that share its names. */
import type { Mention, Sheet } from '../sheet/model.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';
import { declaredIn, findTarget, namesMeant, placesIn, placesOn, type Target } from './named-places.ts';

export interface Reference {
  readonly sheet: Sheet;
  readonly span: Span;
  readonly how: Mention['how'];
}

/** Every place on `sheets` that means the target, in the order of the sheets. */
export function references(target: Target, sheets: readonly Sheet[]): readonly Reference[] {
  const declared = new Set(sheets.flatMap((sheet) => [...declaredIn(sheet)]));
  return sheets.flatMap((sheet) =>
    pick(target, placesIn(sheet, wordsFor(target, sheets)), declared).map(({ span, how }) => ({
      sheet,
      span,
      how,
    })),
  );
}

export interface Highlight {
  readonly span: Span;
  readonly kind: 'write' | 'read' | 'text';
}

/** The same on one sheet, at the speed of moving a cursor. */
export function highlights(analysis: Analysis, offset: number): readonly Highlight[] {
  const target = findTarget(analysis, offset);
  if (target === undefined) return [];
  const kinds = { declaration: 'write', reading: 'read', mention: 'read', prose: 'text' } as const;
  return pick(target, placesOn(analysis), declaredIn(analysis.sheet)).map(({ span, how }) => ({
    span,
    kind: kinds[how],
  }));
}

/** What bare words of any of the sheets may mean it: names that a chassis sheet declares. A sheet's own it knows itself. */
function wordsFor({ kind, name }: Target, sheets: readonly Sheet[]): ReadonlySet<string> {
  if (kind === 'point') return new Set();
  const declared = new Set(
    sheets.flatMap((sheet) => (sheet.kind === 'chassis' ? [...declaredIn(sheet)] : [])),
  );
  const meant = namesMeant(name, declared, (each) => declared.has(each));
  const isKnown = [...meant].some((each) => declared.has(each));
  return isKnown ? meant : new Set();
}

function pick(
  target: Target,
  places: readonly Mention[],
  declared: ReadonlySet<string>,
): readonly { readonly span: Span; readonly how: Mention['how'] }[] {
  const names = namesMeant(
    target.name,
    places.flatMap(({ ref }) => (ref === undefined ? [] : [ref])),
    (name) => declared.has(name),
  );
  const found = new Map<number, { readonly span: Span; readonly how: Mention['how'] }>();
  for (const { name, ref, span, refSpan, how } of places) {
    const at = target.kind === 'point' ? (name === target.name ? span : undefined) : refSpan;
    const isMeant = target.kind === 'point' || (ref !== undefined && names.has(ref));
    if (at === undefined || !isMeant) continue;
    const before = found.get(at.start);
    // A cell is named once, however many readings of its row are at it.
    if (before === undefined || (before.how !== 'declaration' && how === 'declaration'))
      found.set(at.start, { span: at, how });
  }
  return [...found.values()];
}
