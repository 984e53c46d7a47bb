/**
 * Owns the way from one piece's Markdown tree to our blocks in reading order. All spans are offsets into the piece. It
 * finds where tags are and hands each to the tag grammar; it knows nothing of what they mean.
 */
import type { List, ListItem, Nodes, Paragraph, Parents, PhrasingContent, Root } from 'mdast';
import type { Span } from '../text/span.ts';
import { unmarkedLines } from './prose-lines.ts';
import { findRefs } from './ref-search.ts';
import { readStanding, standsAlone, withNearbyConditions } from './standing.ts';
import { readTable } from './table.ts';
import { readItem, readTag } from './tag.ts';

import type { Block, Heading, Opaque, Passage, Tag, WritingProblem } from './tree.ts';

/** A link's or footnote's definition: the one thing of a piece that other pieces can lean on. */
export interface Definition {
  readonly kind: 'link' | 'footnote';
  /** As references are compared: white space collapsed, case folded. */
  readonly identifier: string;
  /** As written between its brackets. */
  readonly label: string;
  readonly url: string;
}

export interface PieceBlocks {
  readonly blocks: readonly Block[];
  readonly problems: readonly WritingProblem[];
  readonly definitions: readonly Definition[];
}

interface Walk {
  readonly text: string;
  readonly blocks: Block[];
  readonly problems: WritingProblem[];
  readonly definitions: Definition[];
  /** Where to find the target of `![R1][photo]`. */
  readonly targets: ReadonlyMap<string, string>;
}

interface Place {
  readonly container: Passage['container'];
  readonly listDepth: number;
}

/** Reads the blocks of a piece whose tree is `root`; what stands before `from` was only added for its definitions. */
export function readBlocks(text: string, root: Root, from: number): PieceBlocks {
  const targets = new Map<string, string>();
  const walk: Walk = { text, blocks: [], problems: [], definitions: [], targets };
  // Added definitions count as targets, and come first because the sheet's first definition wins.
  findTargets(root, targets);
  for (const child of root.children) {
    if (spanOf(child).start >= from) readBlock(child, { container: 'paragraph', listDepth: 0 }, walk);
  }
  return { blocks: walk.blocks, problems: walk.problems, definitions: walk.definitions };
}

function findTargets(parent: Parents, targets: Map<string, string>): void {
  for (const child of parent.children) {
    if (child.type === 'definition') {
      if (!targets.has(child.identifier)) targets.set(child.identifier, child.url);
    } else if ('children' in child && isContainer(child)) {
      findTargets(child, targets);
    }
  }
}

function isContainer(node: Nodes): boolean {
  return (
    node.type === 'list' ||
    node.type === 'listItem' ||
    node.type === 'blockquote' ||
    node.type === 'footnoteDefinition'
  );
}

function readBlock(node: Nodes, place: Place, walk: Walk): void {
  switch (node.type) {
    case 'heading':
      walk.blocks.push(readHeading(node, walk));
      return;
    case 'paragraph':
      walk.blocks.push(readPassage(node, place, walk));
      return;
    case 'list':
      readList(node, place, walk);
      return;
    case 'blockquote':
      for (const child of node.children) readBlock(child, { ...place, container: 'quote' }, walk);
      return;
    case 'footnoteDefinition':
      walk.definitions.push({
        kind: 'footnote',
        identifier: node.identifier,
        label: labelIn(walk.text, spanOf(node), '[^'),
        url: '',
      });
      for (const child of node.children) readBlock(child, { ...place, container: 'footnote' }, walk);
      return;
    case 'table': {
      const { table, problems } = readTable(walk.text, node, (cell) => readInline(cell, walk));
      walk.blocks.push(table);
      walk.problems.push(...problems);
      return;
    }
    case 'definition':
      walk.definitions.push({
        kind: 'link',
        identifier: node.identifier,
        label: labelIn(walk.text, spanOf(node), '['),
        url: node.url,
      });
      noticeVanishing(node.url, spanOf(node), place, walk);
      walk.blocks.push(opaque(node, walk));
      return;
    case 'yaml':
      return;
    default:
      walk.blocks.push(opaque(node, walk));
  }
}

/** Trailing blank lines are no part of a block, whatever ended it. */
function opaque(node: Nodes, walk: Walk): Opaque {
  const { start, end } = spanOf(node);
  return { kind: 'opaque', span: { start, end: start + walk.text.slice(start, end).trimEnd().length } };
}

function readHeading(node: Extract<Nodes, { type: 'heading' }>, walk: Walk): Heading {
  const inline = readInline(node, walk);
  return {
    kind: 'heading',
    depth: node.depth,
    text: plainText(node).replace(/\s+/g, ' ').trim(),
    tags: withNearbyConditions(walk.text, inline.tags, spanOf(node)),
    prose: inline.prose,
    span: spanOf(node),
  };
}

function readList(list: List, place: Place, walk: Walk): void {
  for (const item of list.children)
    readListItem(item, { container: 'item', listDepth: place.listDepth + 1 }, walk);
}

function readListItem(item: ListItem, place: Place, walk: Walk): void {
  item.children.forEach((child, i) => {
    if (i > 0 || child.type !== 'paragraph') {
      readBlock(child, place, walk);
      return;
    }
    const task = item.checked === true ? 'done' : item.checked === false ? 'open' : undefined;
    const closing = closingConditions(walk.text, spanOf(child));
    const passage = readPassage(child, place, walk, { isItemsOwn: true, task, closing });
    walk.blocks.push(passage);
    if (closing === undefined || passage.span.end > closing.start) return;
    const standing = readStanding(walk.text, closing, []);
    const { container, listDepth } = place;
    walk.blocks.push({
      kind: 'passage',
      container,
      listDepth,
      task: undefined,
      tags: [],
      standing: standing.length > 0 ? standing : undefined,
      prose: [closing],
      images: [],
      span: closing,
    });
  });
}

/**
 * Without a blank line before it, a line between two lists of readings belongs to the last item of the first, as Markdown has it.
 * Where that line is nothing but condition words with a colon behind, or with the mains among them, it is meant for what follows:
 *
 *     - V5: a 349, k 20.3
 *     in standby:
 *     ^^^^^^^^^^^
 *     - B+1: 430 V
 */
function closingConditions(text: string, { start, end }: Span): Span | undefined {
  const own = text.slice(start, end).trimEnd();
  const before = Math.max(own.lastIndexOf('\n'), own.lastIndexOf('\r'));
  if (before < 0) return undefined;
  const indent = /^[ \t]*/.exec(own.slice(before + 1))?.[0].length ?? 0;
  const line = { start: start + before + 1 + indent, end: start + own.length };
  return standsAlone(text, line) ? line : undefined;
}

function readPassage(
  node: Paragraph,
  place: Place,
  walk: Walk,
  item: {
    readonly isItemsOwn: boolean;
    readonly task?: Passage['task'];
    readonly closing?: Span | undefined;
  } = { isItemsOwn: false },
): Passage {
  const { text } = walk;
  const whole = ownSpan(node, text, item.task !== undefined);
  const { closing } = item;
  const shorter = closing && {
    start: whole.start,
    end: whole.start + text.slice(whole.start, closing.start).trimEnd().length,
  };
  const split = shorter === undefined ? undefined : readItem(text, shorter);
  const read = item.isItemsOwn ? (split ?? readItem(text, whole)) : undefined;
  const span = split === undefined ? whole : (shorter ?? whole);
  const inline = readInline(node, walk, read?.tag.remark?.span ?? (read === undefined ? undefined : EMPTY));
  if (read !== undefined) walk.problems.push(...read.problems);
  const tags =
    read === undefined ? withNearbyConditions(text, inline.tags, span) : [read.tag, ...inline.tags];
  const standing = read === undefined ? readStanding(text, span, tags) : undefined;
  if (
    read === undefined &&
    (place.container === 'paragraph' || place.container === 'item') &&
    !standing?.length
  )
    walk.problems.push(...unmarkedLines(text, span, inline.prose, item.isItemsOwn));
  return {
    kind: 'passage',
    container: place.container,
    listDepth: place.listDepth,
    task: item.task,
    tags,
    standing: standing?.length ? standing : undefined,
    prose: inline.prose,
    images: inline.images,
    span,
  };
}

const EMPTY: Span = { start: 0, end: 0 };

/** A paragraph's span; behind the box of a task, which the tree leaves in the paragraph's place and not in its text. */
function ownSpan(node: Paragraph, text: string, isTask: boolean): Span {
  const { start, end } = spanOf(node);
  if (!isTask) return { start, end };
  const box = /^\[[ \txX\r\n]\][ \t]*/.exec(text.slice(start, start + 32));
  return { start: start + (box?.[0].length ?? 0), end };
}

const NOTHING: Inline = { tags: [], prose: [], images: [] };

interface Inline {
  readonly tags: readonly Tag[];
  readonly prose: readonly Span[];
  readonly images: Passage['images'];
}

/** Tags, plain text and images under a node. With `only`, tags and prose outside that stretch are another reader's. */
function readInline(node: Parents, walk: Walk, only?: Span): Inline {
  const [lone] = node.children;
  if (lone === undefined || (node.children.length === 1 && lone.type === 'text')) {
    // Most items and cells are one stretch of text, and of an item that was read whole nothing is left.
    if (lone === undefined || only === EMPTY) return NOTHING;
    if (only === undefined) {
      const span = spanOf(lone);
      noticeUnclosed(span, walk);
      return span.start < span.end ? { tags: [], prose: [span], images: [] } : NOTHING;
    }
  }
  const tags: Tag[] = [];
  const prose: Span[] = [];
  const images: { alt: string; url: string; span: Span; refs: ReturnType<typeof findRefs> }[] = [];
  const isOurs = (span: Span): boolean =>
    only === undefined || (only.start <= span.start && span.end <= only.end);
  const visit = (each: PhrasingContent | Nodes): void => {
    const span = spanOf(each);
    switch (each.type) {
      case 'text': {
        const start = only === undefined ? span.start : Math.max(span.start, only.start);
        const end = only === undefined ? span.end : Math.min(span.end, only.end);
        if (start < end) prose.push({ start, end });
        noticeUnclosed({ start, end }, walk);
        return;
      }
      case 'tag': {
        if (!isOurs(span)) return;
        const read = readTag(walk.text, { start: span.start + 1, end: span.end - 1 }, span, 'braces');
        tags.push(read.tag);
        walk.problems.push(...read.problems);
        return;
      }
      case 'image':
      case 'imageReference': {
        const url = each.type === 'image' ? each.url : (walk.targets.get(each.identifier) ?? '');
        const alt = altSpan(walk.text, span);
        images.push({ alt: each.alt ?? '', url, span, refs: findRefs(walk.text, alt) });
        return;
      }
      case 'link': {
        // Of `<https://…>` and a bare address the text is the target.
        const first = each.children[0];
        const isAddress =
          walk.text.charAt(span.start) === '<' || (first !== undefined && spanOf(first).start === span.start);
        if (!isAddress) for (const child of each.children) visit(child);
        return;
      }
      default:
        if ('children' in each) for (const child of each.children) visit(child);
    }
  };
  for (const child of node.children) visit(child);
  return { tags, prose, images };
}

/**
 * The alternative text of an image in the source.
 *
 *     ![R31 charred](r31.jpg)
 *       ^^^^^^^^^^^
 */
function altSpan(text: string, image: Span): Span {
  let depth = 0;
  for (let at = image.start + 1; at < image.end; at++) {
    const character = text.charAt(at);
    if (character === '\\') at++;
    else if (character === '[') depth++;
    else if (character === ']' && --depth === 0) return { start: image.start + 2, end: at };
  }
  return { start: image.start, end: image.start };
}

/** What opens as a tag beyond doubt: a part or a point, and a sign that says something of it. */
const UNCLOSED = /(?<![\\{])\{(?=\s*[A-Z]{1,3}\+?\d+[A-Z]?(?:\.[a-z]\w?)?\s*(?:=|:|->|→))[^{}]*/gu;

/** `{R17 = 470R` without its closing brace is text and says nothing, which nobody would see. */
function noticeUnclosed(span: Span, walk: Walk): void {
  const text = walk.text.slice(span.start, span.end);
  if (!text.includes('{')) return;
  for (const { 0: found, index } of text.matchAll(UNCLOSED)) {
    if (text.charAt(index + found.length) === '}') continue;
    const line = /^.*/.exec(found)?.[0].trimEnd() ?? found;
    const start = span.start + index;
    const end = start + line.length;
    walk.problems.push({
      kind: 'tag-unreadable',
      span: { start, end },
      message: `${line} opens a tag and never closes it, so it is read as text; put a } behind what belongs to it.`,
      offers: [{ saying: 'close it here', edit: { span: { start: end, end }, text: '}' } }],
    });
  }
}

/** `- [C14]: 4n4`: Markdown takes it for a link's address, and no host shows it. */
function noticeVanishing(url: string, span: Span, place: Place, walk: Walk): void {
  if (place.container !== 'item' || /[/.#]/.test(url)) return;
  const label = labelIn(walk.text, span, '[');
  const refs = findRefs(walk.text, { start: span.start + 1, end: span.start + 1 + label.length });
  if (refs.length === 0) return;
  const close = span.start + 1 + label.length;
  const mended = `${label}${walk.text.slice(close + 1, span.end)}`;
  walk.problems.push({
    kind: 'link-definition',
    span,
    message: `\`[${label}]:\` is a link's address to Markdown, so this line vanishes and is not read; a list item needs no brackets.`,
    offers: [{ saying: `write ${mended}`, edit: { span, text: mended } }],
  });
}

/** The label of a definition as written. */
function labelIn(text: string, span: Span, opening: string): string {
  const from = span.start + opening.length;
  for (let at = from; at < span.end; at++) {
    if (text.charAt(at) === '\\') at++;
    else if (text.charAt(at) === ']') return text.slice(from, at);
  }
  return '';
}

/** The text of a heading as it is read aloud: tags without braces, code without ticks, images by their text. */
function plainText(node: Nodes): string {
  if (node.type === 'tag') return node.value.slice(1, -1);
  if (node.type === 'image' || node.type === 'imageReference') return node.alt ?? '';
  if (node.type === 'break') return ' ';
  if (node.type === 'html' || node.type === 'footnoteReference') return '';
  if ('value' in node) return node.value;
  return 'children' in node ? node.children.map(plainText).join('') : '';
}

/** Every node that the parser makes has a place; the passes that make others are taken out. */
export function spanOf(node: Nodes): Span {
  const { position } = node;
  return { start: position?.start.offset ?? 0, end: position?.end.offset ?? 0 };
}
