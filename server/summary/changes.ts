/**
 * Owns what was changed on a job, as rows: each part's was and is, what was done to it, the words written beside it, and what
 * it does to the amplifier.
 */

import { type EffectWords, findEffect } from '../bench/effect-words.ts';
import { departuresFromChassis } from '../bench/effects.ts';
import type { FittedPart, PartChange } from '../bench/model.ts';
import type { Block, Row, Tag } from '../dialect/tree.ts';
import type { Sheet } from '../sheet/model.ts';
import { countBefore } from '../text/halving.ts';
import type { Span } from '../text/span.ts';
import { contains } from '../text/span.ts';
import { describePart } from './part-words.ts';
import { passageText, plainText } from './prose.ts';
import type { Telling } from './telling.ts';

export interface ChangeRow {
  readonly ref: string;
  readonly was: string;
  readonly is: string;
  /** The remark behind the tag, the remark cells of its row, or the sentence that it stands in. */
  readonly why?: string;
  readonly change: PartChange;
}

/** A part in words, in sight of the change that it is part of. */
export type Describe = (part: FittedPart, change: PartChange) => string | undefined;

/** What was done; what is only planned with `planned`. */
export function changeRows(telling: Telling, planned: boolean, describe?: Describe): readonly ChangeRow[] {
  return rowsOf(
    telling,
    telling.amplifier.changes.filter((change) => change.planned === planned),
    describe,
  );
}

/** Looked at and left as it was: no work. */
export function isLeft({ change }: ChangeRow): boolean {
  return change.work === 'same';
}

/** Parts that somebody before us fitted otherwise than the chassis sheet has them, whether it drew them or not. */
export function departureRows(telling: Telling): readonly ChangeRow[] {
  const { amplifier, sheet } = telling;
  const drawn = amplifier.phases.find(({ phase }) => phase === 'factory')?.parts;
  const found = amplifier.phases.find(({ phase }) => phase === 'as-found')?.parts;
  if (drawn === undefined || found === undefined) return [];
  const known = departuresFromChassis(amplifier);
  const changes = [...found.values()]
    .filter((part) => part.since === 'as-found' && part.source.file === sheet.uri)
    .map((is): PartChange => {
      const was = drawn.get(is.ref);
      return (
        known.find((change) => change.is === is) ?? {
          ref: is.ref,
          ...(was && { was }),
          is,
          planned: false,
          source: is.source,
        }
      );
    });
  return rowsOf(telling, changes)
    .map((row) => (row.change.was === undefined ? { ...row, was: telling.words.notFitted } : row))
    .filter((row) => row.change.was === undefined || !saysNothingElse(row));
}

/** Whether all that is written of a part was known of it: `32 µF 500 V` of a `32 µF 500 V electrolytic` is the same part. */
function saysNothingElse({ was, is }: ChangeRow): boolean {
  const known = new Set(was.split(' '));
  return is.split(' ').every((each) => known.has(each));
}

function rowsOf(
  telling: Telling,
  changes: readonly PartChange[],
  describe: Describe = (part) => describePart(part, telling),
): readonly ChangeRow[] {
  return changes.map((change) => {
    const why = wordsBeside(telling.sheet, change.source.span);
    return {
      ref: change.ref,
      ...wasAndIs(telling, change, describe),
      ...(why === undefined ? {} : { why }),
      change,
    };
  });
}

export interface Effects {
  /** Of those changes that something is known of. */
  readonly of: ReadonlyMap<PartChange, EffectWords>;
  /** What all of them hold: said once. */
  readonly heldAlways: readonly string[];
  /** Changes that were looked into, and those beyond the most that a page looks into. */
  readonly looked: number;
  readonly untold: number;
}

/** Each one solves the amplifier twice over, and the page is waited for. */
const MOST_EFFECTS = 40;
/** Of what was found otherwise than drawn. */
export const MOST_FOUND = 12;

/** Work that leaves the very part in the circuit. */
const SAME_PART: ReadonlySet<string> = new Set(['resoldered', 'raised', 'moved']);

export function changeEffects(
  rows: readonly ChangeRow[],
  { amplifier, terms }: Telling,
  most = MOST_EFFECTS,
): Effects {
  const of = new Map<PartChange, EffectWords>();
  const changed = rows.filter(({ change }) => change.work === undefined || !SAME_PART.has(change.work));
  for (const { change } of changed.slice(0, most)) {
    const effect = findEffect(change, amplifier, terms);
    if (effect !== undefined) of.set(change, effect);
  }
  return {
    of,
    heldAlways: [...new Set([...of.values()].flatMap(({ heldAlways }) => heldAlways))],
    looked: Math.min(changed.length, most),
    untold: Math.max(0, changed.length - most),
  };
}

function wasAndIs({ words }: Telling, change: PartChange, describe: Describe): { was: string; is: string } {
  const { was, is, work } = change;
  const say = (part: FittedPart) => describe(part, change) ?? words.notWritten;
  const before = was === undefined ? words.none : say(was);
  const works: Readonly<Record<string, string>> = words.works;
  if (work !== undefined) return { was: before, is: works[work] ?? work };
  return { was: before, is: is === undefined ? words.works.removed : say(is) };
}

/** What is written beside the tag of a span: nothing but the tag gives undefined. */
function wordsBeside(sheet: Sheet, span: Span): string | undefined {
  const block = findBlock(sheet.note.blocks, span);
  const said = block === undefined ? '' : besideIn(sheet, block, span);
  return said === '' ? undefined : said;
}

/** The innermost block that holds a span; blocks stand in the order of the text. */
function findBlock(blocks: readonly Block[], span: Span): Block | undefined {
  const block = blocks[countBefore(blocks, (each) => each.span.start <= span.start) - 1];
  return block !== undefined && contains(block.span, span) ? block : undefined;
}

function besideIn(sheet: Sheet, block: Block, span: Span): string {
  if (block.kind === 'table') {
    const row = block.rows.find((each) => contains(each.span, span));
    return row === undefined ? '' : rowWords(sheet, row);
  }
  if (block.kind === 'opaque') return '';
  const tag = block.tags.find((each) => each.span.start === span.start && each.span.end === span.end);
  if (tag === undefined || block.kind === 'heading') return '';
  if (tag.form === 'item') return itemWords(sheet, block, tag);
  const said = passageText(sheet, block);
  return said === plainText(sheet, tag.span) ? '' : said;
}

function itemWords(sheet: Sheet, block: Extract<Block, { kind: 'passage' }>, { remark }: Tag): string {
  return remark === undefined ? '' : passageText(sheet, block, remark.span);
}

/** The cells of a row that are neither the change nor its parts. */
function rowWords(sheet: Sheet, { prose, tags }: Row): string {
  const cells = [...prose, ...tags.filter(({ form }) => form === 'braces').map(({ span }) => span)].sort(
    (a, b) => a.start - b.start,
  );
  let said = '';
  let at = cells[0]?.start ?? 0;
  for (const cell of cells) {
    const between = sheet.snapshot.text.slice(at, cell.start);
    if (said !== '' && between.includes('|')) said += '; ';
    said += plainText(sheet, cell);
    at = cell.end;
  }
  return said.replace(/\s+/g, ' ').trim();
}
