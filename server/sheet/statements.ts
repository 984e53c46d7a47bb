/**
 * Owns what a note's tags state, in order: each part, reading and change as a statement of its own with its phase and
 * set, candidates kept or dropped, and the acceptances and wishes beside them.
 */
import type {
  Condition,
  Note,
  NotePiece,
  Passage,
  Point,
  ReadingItem,
  Row,
  Specification,
  Tag,
  WritingProblem,
} from '../dialect/tree.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';
import { createWalk } from '../text/walking.ts';
import { createKeeper, isSameList } from './keeping.ts';
import { createMentionList, freeNodesIn, type MentionList } from './mentions.ts';
import {
  type Acceptance,
  type Keep,
  type Mention,
  type Phase,
  type Photo,
  plainValue,
  type Statement,
  type Task,
} from './model.ts';
import { nameOf } from './names.ts';
import { isProposed, type PiecePlan, type Place, type Plan, type Side } from './phases.ts';
import { type BookPage, type BookState, createSetBook, isSameState, NEW_BOOK, type SetBook } from './sets.ts';
import { hasNamedEnds, settleEnds } from './terminal-words.ts';

/** What one piece of a note says. The same object while it says the same. */
export interface Said {
  readonly statements: readonly Statement[];
  readonly acceptances: readonly Acceptance[];
  readonly keeps: readonly Keep[];
  readonly mentions: readonly Mention[];
  /** Names that bare words of prose may mention. */
  readonly subjects: readonly string[];
  readonly problems: readonly WritingProblem[];
  /** Candidates that turned out to be text: nothing that was noticed in them stands. */
  readonly texts: readonly Span[];
  readonly tasks: readonly Task[];
  readonly photos: readonly Photo[];
  /** What it adds to the sets of readings. */
  readonly page: BookPage;
}

/** Where a tag stands and what its table's column adds to it. */
interface Standing {
  readonly place: Place;
  readonly column?: Row['phases'][number];
}

/** All that decides what a piece says, beside itself. */
interface Surroundings {
  readonly plan: PiecePlan;
  readonly side: Side;
  readonly nominalMains: number | undefined;
  /** Nodes of the author's own that connections of the note use; undefined where the piece does not ask. */
  readonly nodes: OwnNodes | undefined;
  /** Those of its own nodes that connections before it declared. */
  readonly declared: readonly string[];
  readonly book: BookState;
}

/** The author's own nodes that connections of a note use. The same object while they are the same. */
export interface OwnNodes {
  readonly names: ReadonlySet<string>;
  readonly nearest: (name: string) => string | undefined;
}

const saidBefore = new WeakMap<
  NotePiece,
  { readonly around: Surroundings; readonly said: Said; readonly book: BookState }
>();
const keepStatements = createKeeper<Statement>();
const keepAcceptances = createKeeper<Acceptance>();
const keepKeeps = createKeeper<Keep>();
const keepTasks = createKeeper<Task>();
const keepPhotos = createKeeper<Photo>();

/**
 * What the pieces of a note say, one by one, and the set book behind the last; `nominalMains` is the volts that the sheet says
 * the amplifier is made for. A piece is read again only where it or what surrounds it is not what it was.
 */
export function readStatements(
  note: Note,
  plan: Plan,
  nominalMains: number | undefined,
  nodes: OwnNodes,
): { readonly said: readonly Said[]; readonly book: BookState } {
  const beside = [nominalMains, nodes, plan.turn];
  const isFollowed = note.thread !== undefined;
  const { results, end } = walkPlans(plan.pieces, note.thread, beside, AT_START, (place, known, index) => {
    const { piece } = place;
    const { named, hasCandidates } = freeNodesIn(piece);
    const { declared, book } = known;
    const around: Surroundings = {
      plan: place,
      side: plan.sideOf(index),
      nominalMains,
      nodes: hasCandidates || hasNamedEnds(piece) ? nodes : undefined,
      declared: named.filter((name) => declared.has(name)),
      book,
    };
    const isNew = named.some((name) => !declared.has(name));
    const declaredNow = isNew ? new Set([...declared, ...named]) : declared;
    const before = isFollowed ? saidBefore.get(piece) : undefined;
    if (before !== undefined && isSameAround(before.around, around))
      return { result: before.said, known: { book: before.book, declared: declaredNow } };
    const read = readPiece(note.snapshot, piece, plan, around, isFollowed);
    if (isFollowed) saidBefore.set(piece, { around, said: read.said, book: read.book });
    return { result: read.said, known: { book: read.book, declared: declaredNow } };
  });
  return { said: results, book: end.book };
}

/** What the pieces before one leave it. */
interface Left {
  readonly book: BookState;
  /** The author's own nodes that connections declared. */
  readonly declared: ReadonlySet<string>;
}

const AT_START: Left = { book: NEW_BOOK, declared: new Set() };

const walkPlans = createWalk<PiecePlan, Left, Said>(
  (one, other) =>
    isSameState(one.book, other.book) &&
    (one.declared === other.declared || isSameList([...one.declared], [...other.declared])),
);

function isSameAround(one: Surroundings, other: Surroundings): boolean {
  return (
    one.plan === other.plan &&
    one.side === other.side &&
    one.nominalMains === other.nominalMains &&
    one.nodes === other.nodes &&
    isSameList(one.declared, other.declared) &&
    isSameState(one.book, other.book)
  );
}

function readPiece(
  snapshot: Snapshot,
  piece: NotePiece,
  plan: Plan,
  around: Surroundings,
  isFollowed: boolean,
): { readonly said: Said; readonly book: BookState } {
  const statements: Statement[] = [];
  const acceptances: Acceptance[] = [];
  const keeps: Keep[] = [];
  const problems: WritingProblem[] = [];
  const texts: Span[] = [];
  const tasks: Task[] = [];
  const photos: Photo[] = [];
  const book = createSetBook(around.nominalMains, around.book);
  const mentions = createMentionList(around.declared, isFollowed);

  const state = (owner: Tag, tag: StatingTag, standing: Standing): void => {
    const from = statements.length;
    addStatements(tag, standing, plan, book, statements);
    if (isFollowed) keepStatements(owner, statements, from);
  };
  const readTag = (tag: Tag, standing: Standing): void => {
    if (tag.kind === 'candidate') {
      if (around.nodes?.names.has(tag.node.name) === true) readTag(tag.tag, standing);
      else {
        texts.push(tag.span);
        const near = around.nodes?.nearest(tag.node.name);
        if (near !== undefined) problems.push(unknownNode(tag.node, near));
      }
      return;
    }
    if (around.nodes !== undefined && (tag.kind === 'fitted' || tag.kind === 'change')) {
      const settled = settleEnds(tag, around.nodes.names, snapshot);
      problems.push(...settled.problems);
      mentions.addTag(settled.tag);
      state(tag, settled.tag, standing);
      return;
    }
    mentions.addTag(tag);
    if (tag.kind === 'accept') {
      const accepted: Acceptance = {
        rule: tag.rule.text,
        ruleSpan: tag.rule.span,
        subjects: tag.subjects.map(nameOf),
        reason: tag.reason?.text,
        span: tag.span,
      };
      acceptances.push(accepted);
      if (isFollowed) keepAcceptances(tag, acceptances, acceptances.length - 1);
    } else if (tag.kind === 'keep') {
      const from = keeps.length;
      for (const ref of tag.refs) keeps.push({ ref, reason: tag.reason?.text, span: tag.span });
      if (isFollowed) keepKeeps(tag, keeps, from);
    } else state(tag, tag, standing);
  };

  for (const [i, block] of piece.blocks.entries()) {
    const place = around.plan.places[i];
    if (place === undefined) continue;
    if (block.kind === 'heading') book.endStanding();
    if (block.kind === 'passage') {
      standConditions(block, place, plan, book, mentions);
      const [firstTask, firstPhoto] = [tasks.length, photos.length];
      tasks.push(...tasksOf(block, snapshot));
      photos.push(...photosOf(block, place, plan));
      if (isFollowed) {
        keepTasks(block, tasks, firstTask);
        keepPhotos(block, photos, firstPhoto);
      }
    }
    const read = (tag: Tag, column?: Standing['column']): void => {
      if (isProposed(place, block, tag)) mentions.addTag(tag);
      else readTag(tag, { place, column });
    };
    if (block.kind === 'table') {
      for (const { tags, phases } of block.rows)
        for (let k = 0; k < tags.length; k++) {
          const tag = tags[k];
          if (tag !== undefined) read(tag, phases[k]);
        }
    } else if (block.kind !== 'opaque') for (const tag of block.tags) read(tag);
  }
  const said: Said = {
    statements,
    acceptances,
    keeps,
    mentions: mentions.mentions(),
    subjects: [...mentions.subjects],
    problems,
    texts,
    tasks,
    photos,
    page: book.page(),
  };
  return { said, book: book.state() };
}

const TASK_MARK = /^\s*(?:[-*+]|\d{1,9}[.)])\s+\[[ \txX]\]\s*|^\s*\[[ \txX]\]\s*/;

function tasksOf({ task, span }: Passage, snapshot: Snapshot): readonly Task[] {
  if (task === undefined) return [];
  const text = snapshot.text.slice(span.start, span.end).replace(TASK_MARK, '').replace(/\s+/g, ' ').trim();
  return [{ done: task === 'done', text, span }];
}

function photosOf({ images }: Passage, place: Place, plan: Plan): readonly Photo[] {
  return images.map(({ alt, url, span, refs }) => {
    const phase = plan.phaseOf(place, span);
    return { alt, url, refs: refs.map(({ name }) => name), phase, span };
  });
}

function standConditions(
  passage: Passage,
  place: Place,
  plan: Plan,
  book: SetBook,
  mentions: MentionList,
): void {
  const { standing, span } = passage;
  if (standing === undefined || place.planned) return;
  book.stand(standing, plan.phaseOf(place, span));
  for (const { refs } of standing) for (const ref of refs) mentions.addPoint(ref, 'mention');
}

type StatingTag = Exclude<Tag, { kind: 'candidate' | 'accept' | 'keep' }>;

/** What the statements of one tag have in common. Statements are many: each kind is made in one place, with all its fields. */
interface Base {
  readonly tag: Tag;
  readonly phase: Phase;
  readonly planned: boolean;
}

/** Adds what a tag states to `into`. */
function addStatements(
  tag: StatingTag,
  { place, column }: Standing,
  plan: Plan,
  book: SetBook,
  into: Statement[],
): void {
  const phase = phaseInColumn(column, plan.phaseOf(place, tag));
  const { planned } = place;
  const { span } = tag;
  const base: Base = { tag, phase, planned };
  switch (tag.kind) {
    case 'fitted':
      addFitted(base, tag, into);
      return;
    case 'change': {
      const { was, refs, work, connections, series } = tag;
      const is = isSpecification(tag.is) ? tag.is : undefined;
      for (const [index, ref] of refs.entries())
        into.push({
          phase,
          planned,
          span,
          kind: 'change',
          ref,
          index,
          of: refs.length,
          series,
          was,
          is,
          work,
          connections,
        });
      return;
    }
    case 'reading': {
      const { type, refs, items, states, conditions } = tag;
      if (type !== undefined)
        addFitted(
          base,
          { refs, specification: type, connections: [], series: false, isBesideReading: true },
          into,
        );
      const nominal = column === 'nominal';
      for (const item of items) addReadings(item, base, nominal, conditions, book, into);
      if (states !== undefined) for (const part of partsRead(items)) addStates(base, part, states, into);
      return;
    }
    case 'state':
      for (const subject of tag.subjects) addStates(base, subject, tag.states, into);
      return;
    case 'wire':
      into.push({ phase, planned, span, kind: 'wire', from: tag.from, to: tag.to });
      return;
    case 'question': {
      const { text: expression, span: expressionSpan } = tag.expression;
      const set = book.beside(phase, tag.conditions);
      into.push({ phase, planned, span, kind: 'question', expression, expressionSpan, set });
      return;
    }
    case 'provenance':
      for (const ref of tag.refs)
        into.push({ phase, planned, span, kind: 'provenance', ref, says: tag.says, was: tag.was });
      return;
    case 'mod-verdict': {
      const { verdict, why } = tag;
      into.push({
        phase,
        planned,
        span,
        kind: 'mod-verdict',
        mod: tag.mod.text,
        verdict,
        why: why?.text,
      });
      return;
    }
    case 'mention':
    case 'unreadable':
      return;
  }
}

function addFitted(
  { tag, phase, planned }: Base,
  {
    refs,
    specification,
    connections,
    series,
    isBesideReading,
  }: Pick<
    Extract<Tag, { kind: 'fitted' }>,
    'refs' | 'specification' | 'connections' | 'series' | 'isBesideReading'
  >,
  into: Statement[],
): void {
  for (let index = 0; index < refs.length; index++) {
    const ref = refs[index];
    if (ref === undefined) continue;
    into.push({
      phase,
      planned,
      span: tag.span,
      kind: 'fitted',
      ref,
      index,
      of: refs.length,
      series,
      specification,
      connections,
      isBesideReading,
    });
  }
}

function addStates(
  { tag, phase, planned }: Base,
  subject: Point,
  said: Extract<Tag, { kind: 'state' }>['states'],
  into: Statement[],
): void {
  const remark = tag.remark?.text;
  for (const { state } of said)
    into.push({ phase, planned, span: tag.span, kind: 'state', subject, state, remark });
}

/** `12 V -> 14 V` was read twice: as found, then as left. */
function addReadings(
  item: ReadingItem,
  base: Base,
  nominal: boolean,
  conditions: readonly Condition[],
  book: SetBook,
  into: Statement[],
): void {
  const { at, to, quantity, values, then, frequency, atVolts } = item;
  const { tag, planned } = base;
  const add = (phase: Phase, read: ReadingItem['values']): void => {
    const takesPart = !planned && !nominal;
    if (takesPart) noteMains(item, phase, read, book);
    const set = takesPart
      ? book.place(phase, conditions, tag.span, isRunning(item))
      : book.beside(phase, conditions);
    into.push({
      phase,
      planned,
      span: tag.span,
      kind: 'reading',
      at,
      to,
      quantity,
      values: read,
      frequency,
      atVolts,
      set,
      nominal,
      conditions,
    });
  };
  if (then === undefined) add(base.phase, values);
  else if (base.phase === 'factory') {
    add(base.phase, values);
    add(base.phase, [then]);
  } else {
    add('as-found', values);
    add('as-left', [then]);
  }
}

/** What a tag's readings were taken at, each once: the part itself for its electrodes, as a state is the part's. */
function partsRead(items: readonly ReadingItem[]): readonly Point[] {
  const parts = new Map<string, Point>();
  for (const { at } of items) {
    const part = at.kind === 'terminal' ? at.ref : at;
    if (!parts.has(part.name)) parts.set(part.name, part);
  }
  return [...parts.values()];
}

/** Volts and amperes inside the amplifier; resistances, part measurements and the mains say nothing of how it runs. */
function isRunning({ at, quantity }: ReadingItem): boolean {
  const isMains = at.kind === 'node' && at.name === 'mains';
  return !isMains && (quantity === 'voltage' || quantity === 'ripple' || quantity === 'current');
}

/** A mains reading holds for what is read after it. */
function noteMains(item: ReadingItem, phase: Phase, values: ReadingItem['values'], book: SetBook): void {
  if (item.at.kind !== 'node' || item.at.name !== 'mains' || item.to !== undefined) return;
  const quantity = plainValue(values[0])?.quantity;
  if (quantity?.unit === 'V') book.readMains(phase, quantity.value, item.span);
}

function phaseInColumn(column: Row['phases'][number], otherwise: Phase): Phase {
  // A chassis sheet has one phase, whatever its columns are called.
  if (otherwise === 'factory') return otherwise;
  if (column === 'found') return 'as-found';
  return column === 'left' ? 'as-left' : otherwise;
}

function isSpecification(is: Extract<Tag, { kind: 'change' }>['is']): is is Specification {
  return 'values' in is;
}

function unknownNode(node: Extract<Tag, { kind: 'candidate' }>['node'], near: string): WritingProblem {
  return {
    kind: 'point-unknown',
    span: node.span,
    message: `No connection in this sheet uses a point named ${node.name}, but one uses ${near}. Write ${near} if that is the point that was read; otherwise this stays plain text.`,
    offers: [{ saying: `the point ${near}`, edit: { span: node.span, text: near } }],
  };
}
