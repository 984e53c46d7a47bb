/**
 * Owns the YAML at the head of a sheet: where it is, what it says as entries with places, and what is wrong with it. A
 * scalar stays as it was written (`0123`, `12E4`, `1.10`): what a key means is decided where it is used.
 */
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type ParsedNode,
  parseDocument,
  type Scalar,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml';
import { lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { readPlainEntries } from './plain-front-matter.ts';
import type { FrontMatter, FrontMatterEntry, WritingProblem } from './tree.ts';

/** Deeper than any shop sheet's tables, and far from what would exhaust the stack. */
const DEEPEST = 32;
const BYTE_ORDER_MARK = '\uFEFF';

/** Where the front matter is, both fences included, exactly where the Markdown parser sees it; undefined without one. */
export function findFrontMatter(snapshot: Snapshot): Span | undefined {
  const start = snapshot.text.startsWith(BYTE_ORDER_MARK) ? 1 : 0;
  if (!isFence(lineText(snapshot, 0).slice(start))) return undefined;
  for (let line = 1; line < snapshot.lineStarts.length; line++) {
    if (isFence(lineText(snapshot, line))) return { start, end: lineSpan(snapshot, line).end };
  }
  return undefined;
}

/** Reads the front matter that stands at `span`. */
export function readFrontMatter(
  snapshot: Snapshot,
  span: Span,
): { readonly frontMatter: FrontMatter; readonly problems: readonly WritingProblem[] } {
  const start = snapshot.lineStarts[1] ?? span.end;
  const block = snapshot.text.slice(start, span.end);
  // The closing fence goes. YAML knows no lone carriage return, so one becomes a line feed, of the same length.
  const source = block.slice(0, block.search(/---[ \t]*$/)).replace(/\r(?!\n)/g, '\n');
  const problems: WritingProblem[] = [];
  const stop = findDocumentEnd(source);
  if (stop !== undefined) {
    problems.push(
      unreadable(
        { start: start + stop, end: start + stop + 3 },
        'The front matter is closed by `---`; `...` does not close it, so all that follows was taken for front matter.',
        [{ saying: 'close it here', text: '---' }],
      ),
    );
  }
  const entries =
    stop === undefined ? (readPlainEntries(source, start) ?? readYamlEntries(source, start, problems)) : [];
  return { frontMatter: { span, entries }, problems };
}

/** What looks like front matter and is not taken for it, because of a fence. */
export function findUnclosedFrontMatter(snapshot: Snapshot): WritingProblem | undefined {
  const { text, lineStarts } = snapshot;
  let line = 0;
  while (line < lineStarts.length - 1 && fenceText(snapshot, line).trim() === '') line++;
  const fence = fenceText(snapshot, line);
  const opening = /^(-{3,})[ \t]*$/.exec(fence)?.[1];
  if (opening === undefined || !/^[A-Za-z_][\w -]*:(?:[ \t]|$)/.test(lineText(snapshot, line + 1))) {
    return undefined;
  }
  const at = { start: lineSpan(snapshot, line).end - fence.length, end: lineSpan(snapshot, line).end };
  if (opening.length > 3) {
    return unreadable(
      at,
      `The front matter is not read: it opens with three hyphens, \`---\`, and here are ${opening.length}.`,
      [{ saying: 'write three hyphens', text: '---' }],
    );
  }
  if (line > 0) {
    const blank = { start: text.startsWith(BYTE_ORDER_MARK) ? 1 : 0, end: lineStarts[line] ?? 0 };
    return {
      ...unreadable(at, 'The front matter is not read: its `---` must be the first line of the sheet.', []),
      offers: [{ saying: 'take the empty lines away', edit: { span: blank, text: '' } }],
    };
  }
  for (let next = line + 1; next < lineStarts.length; next++) {
    const each = lineText(snapshot, next);
    if (/^(?:\.\.\.|-{4,})[ \t]*$/.test(each)) {
      return unreadable(
        lineSpan(snapshot, next),
        `The front matter is not read: it is closed by \`---\`, and here is \`${each.trim()}\`.`,
        [{ saying: 'close it with three hyphens', text: '---' }],
      );
    }
    if (each.trim() === '' || each.startsWith('#')) break;
  }
  return unreadable(
    at,
    'The front matter that opens here is never closed: put a line of three hyphens, `---`, behind its last line.',
    [],
  );
}

/** The entries of a text that begins at `base` of its sheet, by the YAML parser alone; what is wrong is added to `problems`. */
export function readYamlEntries(
  source: string,
  base: number,
  problems: WritingProblem[],
): FrontMatterEntry[] {
  const place = (from: number, to: number): Span => {
    const end = Math.min(Math.max(to, from), source.length);
    return { start: base + Math.min(from, end), end: base + end };
  };
  let document: Document.Parsed;
  try {
    if (nesting(source) > DEEPEST) throw new RangeError('nested too deep');
    document = parseDocument(source, {
      schema: 'core',
      // Comparing each key with each is square; a set does it below.
      uniqueKeys: false,
      version: '1.2',
      prettyErrors: false,
      logLevel: 'silent',
    });
  } catch {
    // The parser recurses; no nesting that a person writes comes here.
    problems.push(
      unreadable(place(0, source.search(/[\r\n]|$/)), 'The front matter is nested too deep to be read.', []),
    );
    return [];
  }
  for (const error of document.errors) {
    const [from, to] = error.pos;
    // To the end of the line at most: an error's own end may be the end of everything.
    const lineEnd = from + source.slice(from).search(/[\r\n]|$/);
    problems.push(
      unreadable(
        place(from, Math.max(from, Math.min(to, lineEnd))),
        `The front matter can't be read here: ${plain(error.message)}.`,
        [],
      ),
    );
  }
  const context: Context = { place, problems, source };
  const { contents } = document;
  if (contents === null || (isScalar(contents) && contents.value === null)) return [];
  if (isMap(contents)) return readMap(contents as YAMLMap.Parsed, context, 0);
  if (document.errors.length === 0) {
    problems.push(
      unreadable(
        place(contents.range[0], contents.range[0] + source.slice(contents.range[0]).search(/[\r\n]|$/)),
        'The front matter is not in lines of `key: value`.',
        [],
      ),
    );
  }
  return [];
}

interface Context {
  readonly place: (from: number, to: number) => Span;
  readonly problems: WritingProblem[];
  readonly source: string;
}

function readMap(map: YAMLMap.Parsed, context: Context, depth: number): FrontMatterEntry[] {
  const seen = new Set<string>();
  return map.items.map(({ key, value }) => {
    const keySpan = context.place(key.range[0], key.range[1]);
    const name = isScalar(key)
      ? scalarText(key, context.source)
      : context.source.slice(key.range[0], key.range[1]);
    if (seen.has(name)) {
      context.problems.push(unreadable(keySpan, `The front matter says \`${name}\` twice.`, []));
    }
    seen.add(name);
    return readEntry(name, keySpan, value, context, depth);
  });
}

function readList(list: YAMLSeq.Parsed, context: Context, depth: number): FrontMatterEntry[] {
  return list.items.map((item, i) => {
    const node = item as ParsedNode;
    const keySpan = context.place(node.range[0], node.range[0]);
    return readEntry(String(i), keySpan, node, context, depth);
  });
}

function readEntry(
  key: string,
  keySpan: Span,
  value: ParsedNode | null,
  context: Context,
  depth: number,
): FrontMatterEntry {
  if (value === null)
    return { key, keySpan, scalar: '', valueSpan: { start: keySpan.end, end: keySpan.end } };
  const valueSpan = context.place(value.range[0], value.range[1]);
  if (isAlias(value)) {
    // Never followed: a few lines of them can stand for millions of values.
    context.problems.push(
      unreadable(
        valueSpan,
        "The front matter can't be read here: references (`*name`) are not read, write the value itself.",
        [],
      ),
    );
    return { key, keySpan, scalar: '', valueSpan };
  }
  if (isMap(value) && depth < DEEPEST) {
    return { key, keySpan, items: readMap(value as YAMLMap.Parsed, context, depth + 1), valueSpan };
  }
  if (isSeq(value) && depth < DEEPEST) {
    return { key, keySpan, items: readList(value as YAMLSeq.Parsed, context, depth + 1), valueSpan };
  }
  return { key, keySpan, scalar: isScalar(value) ? scalarText(value, context.source) : '', valueSpan };
}

/** A plain scalar as written, `~` and all; a quoted or block one without its quotes and indents. */
function scalarText(scalar: Scalar & { range?: [number, number, number] | null }, source: string): string {
  const isQuotedOrBlock = scalar.type !== 'PLAIN';
  if (isQuotedOrBlock && typeof scalar.value === 'string') return scalar.value;
  if (scalar.source !== undefined) return scalar.source;
  return scalar.range ? source.slice(scalar.range[0], scalar.range[1]) : '';
}

/** How deep brackets and indents go: a cheap upper bound, taken before the recursing parser sees the text. */
function nesting(source: string): number {
  let depth = 0;
  let deepest = 0;
  for (const character of source) {
    if (character === '[' || character === '{') deepest = Math.max(deepest, ++depth);
    else if (character === ']' || character === '}') depth = Math.max(0, depth - 1);
  }
  for (const [dashes] of source.matchAll(/(?:^|[\r\n])[ ]*(?:- )+/g)) {
    deepest = Math.max(deepest, dashes.split('- ').length - 1);
  }
  for (const [indent] of source.matchAll(/[\r\n][ ]+/g))
    deepest = Math.max(deepest, Math.floor(indent.length / 2));
  return deepest;
}

function findDocumentEnd(source: string): number | undefined {
  const found = /(?:^|[\r\n])(\.\.\.)(?=[ \t\r\n]|$)/.exec(source);
  if (found === null || source.slice(found.index + found[0].length).trim() === '') {
    return found === null ? undefined : found.index + found[0].length - 3;
  }
  return found.index + found[0].length - 3;
}

function plain(message: string): string {
  return message
    .replace(/\s+/g, ' ')
    .replace(/[.:]+$/, '')
    .replace(/^./, (first) => first.toLowerCase());
}

function unreadable(
  span: Span,
  message: string,
  offers: readonly { readonly saying: string; readonly text: string }[],
): WritingProblem {
  return {
    kind: 'front-matter-unreadable',
    span,
    message,
    offers: offers.map(({ saying, text }) => ({ saying, edit: { span, text } })),
  };
}

function isFence(line: string): boolean {
  return /^---[ \t]*$/.test(line);
}

function lineText(snapshot: Snapshot, line: number): string {
  const { start, end } = lineSpan(snapshot, line);
  return snapshot.text.slice(start, end);
}

/** A line's text without the byte-order mark that the first may have. */
function fenceText(snapshot: Snapshot, line: number): string {
  const text = lineText(snapshot, line);
  return line === 0 && text.startsWith(BYTE_ORDER_MARK) ? text.slice(1) : text;
}
