/**
 * Owns the one way in which text becomes HTML: a template whose every inserted string is escaped. Markup is a type of its
 * own, so that a note's text can reach the page in no other way. No string of a note is ever a link, a style or a name.
 */

/** Markup that is finished: made by `html` and by nothing else. */
export interface Html {
  readonly markup: string;
}

export type Insert = Html | string | number | undefined | readonly (Html | string | undefined)[];

/** Explicit direction marks, overrides, embeddings and isolates: they show nothing of their own and may turn what stands beside them. */
export const DIRECTION = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
/** Anything that may turn the direction of what stands beside it: the marks, and letters written from the right. */
const TURNS = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]/;
/** Control characters that a text has no place for; tab and line ends are text. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
export const CONTROLS = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufffe\uffff]/g;

/** Half of a surrogate pair, which no file can hold. */
export const LONE = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Markup from a template. Inserted strings are escaped for text and for quoted attributes alike. In text, a string that may
 * turn the direction of its surroundings is isolated from them; in an attribute its direction marks are left out.
 */
export function html(literals: TemplateStringsArray, ...inserts: readonly Insert[]): Html {
  let markup = literals[0] ?? '';
  let isInTag = endsInTag(markup, false);
  for (const [i, insert] of inserts.entries()) {
    markup += markupOf(insert, isInTag);
    const literal = literals[i + 1] ?? '';
    isInTag = endsInTag(literal, isInTag);
    markup += literal;
  }
  return { markup };
}

/** Markup or a value of our own that needs no escaping: a style sheet, a policy. Never anything that a note says. */
export function fixed(markup: string): Html {
  return { markup };
}

/** Text for an element that takes text alone, such as a window's title: no element may stand in it. */
export function plainOnly(text: string): Html {
  return { markup: escapeText(text.replace(DIRECTION, '')) };
}

export const NOTHING: Html = { markup: '' };

/** Pieces with a fixed text between them. */
export function joinHtml(pieces: readonly (Html | string)[], between: string): Html {
  return { markup: pieces.map((piece) => markupOf(piece, false)).join(escapeText(between)) };
}

export function isEmpty({ markup }: Html): boolean {
  return markup === '';
}

/** Text with the five characters replaced that HTML gives a meaning, and with what it has no place for made visible. */
export function escapeText(text: string): string {
  return text
    .replace(LONE, '\ufffd')
    .replace(CONTROLS, '\ufffd')
    .replace(/[&<>"']/g, (character) => ENTITIES[character] ?? '');
}

function markupOf(insert: Insert, isInTag: boolean): string {
  if (insert === undefined) return '';
  if (typeof insert === 'number') return String(insert);
  if (typeof insert !== 'string') {
    if (isHtml(insert)) return insert.markup;
    return insert.map((each) => markupOf(each, isInTag)).join('');
  }
  if (isInTag) return escapeText(insert.replace(DIRECTION, ''));
  const escaped = escapeText(insert);
  return TURNS.test(insert) ? `<bdi>${escaped}</bdi>` : escaped;
}

function isHtml(insert: Html | readonly (Html | string | undefined)[]): insert is Html {
  return 'markup' in insert;
}

/** Whether a template's literal text ends between `<` and `>`, where an attribute stands. */
function endsInTag(literal: string, before: boolean): boolean {
  const open = literal.lastIndexOf('<');
  const close = literal.lastIndexOf('>');
  return open === close ? before : open > close;
}
