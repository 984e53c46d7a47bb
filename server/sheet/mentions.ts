/** Owns where parts and points are named: in tags, and as bare words of prose that are exactly a known part's name. */
import type { Block, Condition, Connection, Note, NotePiece, Point, Tag } from '../dialect/tree.ts';
import { createGatherer, type Picker } from '../text/picking.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { contains, partOf, type Span } from '../text/span.ts';
import { createKeeper } from './keeping.ts';
import type { Mention } from './model.ts';
import { nameOf } from './names.ts';
import { tagsOf } from './phases.ts';

/** Collects mentions in the order given, each place and name once. */
export interface MentionList {
  readonly addTag: (tag: Tag) => void;
  readonly addPoint: (point: Point, how: Mention['how']) => void;
  readonly mentions: () => readonly Mention[];
  /** Names of parts that a tag says something of, a valve's whole beside its section: what prose may mention. */
  readonly subjects: ReadonlySet<string>;
}

const keepMentions = createKeeper<Mention>();

/**
 * A list for one piece of a note, before which connections of other pieces declared `declared`. What `isFollowed` keeps the
 * mentions that it had of a tag before.
 */
export function createMentionList(declared: Iterable<string>, isFollowed: boolean): MentionList {
  const mentions: Mention[] = [];
  const byStart = new Map<number, Mention[]>();
  const subjects = new Set<string>();
  const declaredNodes = new Set(declared);

  const add = (
    name: string,
    ref: string | undefined,
    refSpan: Span | undefined,
    span: Span,
    how: Mention['how'],
  ): void => {
    const there = byStart.get(span.start);
    if (there?.some((each) => each.name === name && each.span.end === span.end) === true) return;
    const mention: Mention = { name, ref, refSpan, span, how };
    if (there === undefined) byStart.set(span.start, [mention]);
    else there.push(mention);
    mentions.push(mention);
  };
  const addPoint = (point: Point, how: Mention['how']): void => {
    if (point.kind === 'node') add(point.name, undefined, undefined, point.span, how);
    else if (point.kind === 'ref') add(point.name, point.name, point.span, point.span, how);
    else {
      const { ref } = point;
      // In `V5: a 331` the electrode stands alone, its valve before the colon.
      const isWhole = contains(point.span, ref.span);
      if (!isWhole) add(ref.name, ref.name, ref.span, ref.span, how);
      add(nameOf(point), ref.name, isWhole ? ref.span : undefined, point.span, how);
    }
  };
  const addSubject = (point: Point, how: Mention['how']): void => {
    addPoint(point, how);
    const ref = point.kind === 'terminal' ? point.ref : point;
    if (ref.kind !== 'ref') return;
    subjects.add(ref.name);
    subjects.add(ref.whole);
  };
  /** A free node is declared by its first connection. */
  const addEnd = (point: Point): void => {
    const declares = point.kind === 'node' && point.nature === 'free' && !declaredNodes.has(point.name);
    if (declares) declaredNodes.add(point.name);
    addPoint(point, declares ? 'declaration' : 'mention');
  };
  const addConnection = (connection: Connection): void => {
    for (const point of pointsOf(connection)) addEnd(point);
  };

  const addTag = (tag: Tag): void => {
    const from = mentions.length;
    addAll(tag);
    if (isFollowed) keepMentions(tag, mentions, from);
  };
  const addAll = (tag: Tag): void => {
    switch (tag.kind) {
      case 'mention':
        for (const point of tag.points) addPoint(point, 'mention');
        break;
      case 'fitted':
      case 'change':
        for (const ref of tag.refs) addSubject(ref, 'declaration');
        for (const connection of tag.connections) addConnection(connection);
        break;
      case 'reading':
        for (const ref of tag.refs) addSubject(ref, tag.type === undefined ? 'reading' : 'declaration');
        for (const item of tag.items) {
          addSubject(item.at, 'reading');
          if (item.to !== undefined) addSubject(item.to, 'reading');
        }
        break;
      case 'wire':
        addEnd(tag.from);
        addEnd(tag.to);
        break;
      case 'state':
        for (const point of tag.subjects) addSubject(point, 'mention');
        break;
      case 'accept':
        for (const point of tag.subjects) addPoint(point, 'mention');
        break;
      case 'keep':
      case 'provenance':
        for (const ref of tag.refs) addSubject(ref, 'mention');
        break;
      case 'candidate':
        addAll(tag.tag);
        break;
      case 'question':
      case 'mod-verdict':
      case 'unreadable':
        break;
    }
    addConditions(tag.conditions);
  };
  const addConditions = (conditions: readonly Condition[]): void => {
    for (const { refs } of conditions) for (const ref of refs) addPoint(ref, 'mention');
  };
  return { addTag, addPoint, mentions: () => mentions, subjects };
}

/** The points that a connection names, a part it lies across included. */
function pointsOf(connection: Connection): readonly Point[] {
  switch (connection.kind) {
    case 'ends':
      return [...connection.from, ...connection.to];
    case 'across':
      return [connection.ref];
    case 'terminal':
      return [connection.to];
    case 'hangs':
      return connection.far === undefined ? [connection.on] : [connection.on, connection.far];
  }
}

/** What picks mentions of known names; the snapshot is the one whose pieces it looks at. */
interface Prose {
  snapshot: Snapshot;
  readonly mentionsIn: Picker<NotePiece, Mention>;
}

const proseOfKnown = new WeakMap<ReadonlySet<string>, Prose>();
const keepProse = createKeeper<Mention>();

/** Bare words of a note's prose that are exactly one of `known` (`R17`, `V1A`). */
export function proseMentions(
  { snapshot, pieces, thread }: Note,
  known: ReadonlySet<string>,
): readonly Mention[] {
  if (known.size === 0) return [];
  const isFollowed = thread !== undefined;
  const prose: Prose = proseOfKnown.get(known) ?? {
    snapshot,
    mentionsIn: createGatherer((piece) => {
      const mentions: Mention[] = [];
      for (const block of piece.blocks) {
        const from = mentions.length;
        for (const { name, span } of wordsOf(prose.snapshot, block, isFollowed))
          if (known.has(name)) mentions.push({ name, ref: name, refSpan: span, span, how: 'prose' });
        if (isFollowed) keepProse(block, mentions, from);
      }
      return mentions;
    }),
  };
  proseOfKnown.set(known, prose);
  prose.snapshot = snapshot;
  return prose.mentionsIn(pieces, thread);
}

interface Word {
  readonly name: string;
  readonly span: Span;
}

const wordsIn = new WeakMap<Block, readonly Word[]>();

/** The words of a block's prose that may be the name of a part, since they begin with a capital. */
function wordsOf({ text }: Snapshot, block: Block, isFollowed: boolean): readonly Word[] {
  if (!isFollowed) return findWordsOf(text, block);
  const known = wordsIn.get(block);
  if (known !== undefined) return known;
  const words = findWordsOf(text, block);
  wordsIn.set(block, words);
  return words;
}

function findWordsOf(text: string, block: Block): Word[] {
  const words: Word[] = [];
  if (block.kind === 'table') {
    for (const row of block.rows) for (const prose of row.prose) findWords(text, prose, words);
  } else if (block.kind !== 'opaque') for (const prose of block.prose) findWords(text, prose, words);
  return words;
}

const WORD = /[\p{L}\p{N}]+/gu;
const WORD_CHARACTER = /[\p{L}\p{N}]/u;

function findWords(text: string, prose: Span, found: Word[]): void {
  for (const match of text.slice(prose.start, prose.end).matchAll(WORD)) {
    const name = match[0];
    const first = name.charCodeAt(0);
    if (first < 0x41 || first > 0x5a) continue;
    const from = match.index;
    const to = from + name.length;
    // A stretch of prose may begin or end inside a word, beside a tag or an escape.
    if (from === 0 && WORD_CHARACTER.test(text.charAt(prose.start - 1))) continue;
    if (prose.start + to === prose.end && WORD_CHARACTER.test(text.charAt(prose.end))) continue;
    found.push({ name, span: partOf(prose, from, to) });
  }
}

/** The author's own nodes in one piece of a note. */
export interface FreeNodes {
  /** Names that a connection uses, each once. */
  readonly used: readonly string[];
  /** The same with those in tags that may turn out to be text. */
  readonly named: readonly string[];
  /** Whether it has tags that are text if no connection of the note uses their node. */
  readonly hasCandidates: boolean;
}

const freeNodes = new WeakMap<NotePiece, FreeNodes>();

export function freeNodesIn(piece: NotePiece): FreeNodes {
  const known = freeNodes.get(piece);
  if (known !== undefined) return known;
  const names = new Set<string>();
  const candidates: Tag[] = [];
  for (const block of piece.blocks) {
    for (const tag of tagsOf(block)) {
      if (tag.kind === 'candidate') candidates.push(tag.tag);
      else addFreeNodes(tag, names);
    }
  }
  const used = [...names];
  for (const tag of candidates) addFreeNodes(tag, names);
  const found: FreeNodes = {
    used,
    named: candidates.length === 0 ? used : [...names],
    hasCandidates: candidates.length > 0,
  };
  freeNodes.set(piece, found);
  return found;
}

/** Adds the names of nodes of the author's own that the connections of a tag use. */
function addFreeNodes(tag: Tag, names: Set<string>): void {
  if (tag.kind === 'fitted' || tag.kind === 'change') {
    for (const connection of tag.connections)
      for (const point of pointsOf(connection)) addFreeNode(point, names);
  } else if (tag.kind === 'wire') {
    addFreeNode(tag.from, names);
    addFreeNode(tag.to, names);
  }
}

function addFreeNode(point: Point, names: Set<string>): void {
  if (point.kind === 'node' && point.nature === 'free') names.add(point.name);
}
