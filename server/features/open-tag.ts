/** Owns which tag is being written at an offset: behind an unclosed brace, or in a list item that opens as a tag; and how far it has come. */
import { scanRef } from '../dialect/references.ts';
import type { PartClass } from '../dialect/tree.ts';
import type { Sheet } from '../sheet/model.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';

/** A tag is never longer; behind more text than this no brace is looked for. */
const LONGEST_TAG = 2000;

/** A list item that reads as a tag so far: perhaps a condition, then refs or a point, perhaps a type, then the sign. */
const ITEM = /^(?:\s|>)*(?:[-*+]|\d{1,9}[.)])\s+(?:\[[ xX]\]\s+)?(.*)$/;
const ITEM_TAG =
  /^(?:[^:=]{1,60}:\s+)?(?:[A-Z]{1,3}\d+[A-Z]?|B[+-]|HT\+?|mains|gnd|bias)[\w.+'-]*(?:\s?[,&+]\s?[A-Z]{0,3}\d+[A-Z]?)*(?:\s+[\w/-]{2,12}){0,2}\s?(?::|=|->)/;
/** The first word of an item may become a tag once it has a digit: `V5`, `B+`. A capital alone begins a sentence. */
const ITEM_FIRST_WORD = /^(?:[A-Z]{1,3}\d+[A-Z]?(?:\.\w*)?|B\+\d*)$/;

/** What is written so far of the tag at an offset; undefined in text that is none. */
export function findOpenTag(sheet: Sheet, offset: number): string | undefined {
  const { snapshot, frontMatter } = sheet;
  if (frontMatter !== undefined && offset <= frontMatter.span.end) return undefined;
  const block = sheet.note.blocks.find(({ span }) => span.start <= offset && offset <= span.end);
  if (block?.kind === 'opaque') return undefined;
  const { start } = lineSpan(snapshot, lineAt(snapshot, offset));
  const line = snapshot.text.slice(start, offset);
  // A tag may wrap over a soft line break, so a paragraph is looked at from its beginning.
  const from = Math.max(Math.min(start, block?.span.start ?? start), offset - LONGEST_TAG);
  const before = snapshot.text.slice(from, offset);
  const brace = before.lastIndexOf('{');
  if (brace >= 0 && !before.includes('}', brace)) {
    return before[brace - 1] === '\\' || isInCode(before.slice(0, brace))
      ? undefined
      : before.slice(brace + 1);
  }
  const item = ITEM.exec(line)?.[1];
  if (item === undefined || isInCode(item)) return undefined;
  return ITEM_TAG.test(item) || ITEM_FIRST_WORD.test(item) ? item : undefined;
}

/** Whether a backtick or a dollar sign is open at the end of a text. */
export function isInCode(text: string): boolean {
  const count = (sign: string) => text.split(sign).length - 1;
  return count('`') % 2 === 1 || count('$') % 2 === 1;
}

/** The class of a whole word that is a ref; undefined of any other word. */
export function classOf(word: string): PartClass | undefined {
  const scanned = scanRef(word, 0);
  return scanned?.end === word.length ? scanned.ref.class : undefined;
}

export interface OpenStatement {
  readonly sign: '=' | ':' | '->';
  /** The part spoken of, where it is one. */
  readonly subject?: string;
  readonly class?: PartClass;
  /** All that stands before the first sign. */
  readonly label: string;
  /** What stands behind the last sign so far. */
  readonly after: string;
}

/** The statement that a text is in the middle of; undefined before its sign. */
export function readOpenStatement(lead: string): OpenStatement | undefined {
  const signs = [...lead.matchAll(/->|=|:(?=\s|$)/g)];
  const last = signs.at(-1);
  if (last === undefined) return undefined;
  const label = lead.slice(0, signs[0]?.index);
  const subject = subjectBefore(lead.slice(0, last.index)) ?? subjectBefore(label);
  const partClass = subject === undefined ? undefined : classOf(subject);
  return {
    sign: last[0] === '=' ? '=' : last[0] === ':' ? ':' : '->',
    ...(subject === undefined ? {} : { subject }),
    ...(partClass === undefined ? {} : { class: partClass }),
    label,
    after: lead.slice(last.index + last[0].length),
  };
}

/** The last ref before a sign, past no other sign: `V5` of `C14 lifted: V5`. */
function subjectBefore(lead: string): string | undefined {
  return /(?<![\w.])([A-Z]{1,3}\d+[A-Z]?)(?![A-Za-z0-9])[^:=]*$/.exec(lead)?.[1];
}
