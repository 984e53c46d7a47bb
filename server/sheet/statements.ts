/**
 * Owns what a note's tags state, in order: each part, reading and change as a statement of its own with its phase and
 * set, candidates kept or dropped, and the acceptances and wishes beside them.
 */
import type {
  Block,
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
  type FittedStatement,
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
    const before = saidBefore.get(piece);
    if (before !== undefined && isSameAround(before.around, around))
      return { result: before.said, known: { book: before.book, declared: declaredNow } };
    const read = readPiece(note.snapshot, piece, plan, around);
    saidBefore.set(piece, { around, ...read });
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
): { readonly said: Said; readonly book: BookState } {
  const statements: Statement[] = [];
  const acceptances: Acceptance[] = [];
  const keeps: Keep[] = [];
  const problems: WritingProblem[] = [];
  const texts: Span[] = [];
  const tasks: Task[] = [];
  const photos: Photo[] = [];
  const book = createSetBook(around.nominalMains, around.book);
  const mentions = createMentionList(around.declared);

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
      statements.push(...keepStatements(tag, statementsOf(settled.tag, standing, plan, book)));
      return;
    }
    mentions.addTag(tag);
    if (tag.kind === 'accept') {
      const accepted: Acceptance = {
        rule: tag.rule.text,
        ruleSpan: tag.rule.span,
        subjects: tag.subjects.map(nameOf),
        ...(tag.reason === undefined ? {} : { reason: tag.reason.text }),
        span: tag.span,
      };
      acceptances.push(...keepAcceptances(tag, [accepted]));
    } else if (tag.kind === 'keep') {
      const reason = tag.reason === undefined ? {} : { reason: tag.reason.text };
      keeps.push(
        ...keepKeeps(
          tag,
          tag.refs.map((ref) => ({ ref, ...reason, span: tag.span })),
        ),
      );
    } else statements.push(...keepStatements(tag, statementsOf(tag, standing, plan, book)));
  };

  for (const [i, block] of piece.blocks.entries()) {
    const place = around.plan.places[i];
    if (place === undefined) continue;
    if (block.kind === 'heading') book.endStanding();
    if (block.kind === 'passage') {
      standConditions(block, place, plan, book, mentions);
      tasks.push(...keepTasks(block, tasksOf(block, snapshot)));
      photos.push(...keepPhotos(block, photosOf(block, place, plan)));
    }
    for (const { tag, column } of tagsWithColumns(block)) {
      if (isProposed(place, block, tag)) mentions.addTag(tag);
      else readTag(tag, { place, column });
    }
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

function* tagsWithColumns(block: Block): Iterable<{ tag: Tag; column?: Row['phases'][number] }> {
  if (block.kind === 'table') {
    for (const row of block.rows)
      for (const [i, tag] of row.tags.entries()) yield { tag, column: row.phases[i] };
  } else if (block.kind !== 'opaque') {
    for (const tag of block.tags) yield { tag };
  }
}

type StatingTag = Exclude<Tag, { kind: 'candidate' | 'accept' | 'keep' }>;

function statementsOf(tag: StatingTag, standing: Standing, plan: Plan, book: SetBook): readonly Statement[] {
  const { place, column } = standing;
  const phase = phaseInColumn(column, plan.phaseOf(place, tag));
  const base = { phase, planned: place.planned, span: tag.span };
  const { conditions } = tag;
  switch (tag.kind) {
    case 'fitted':
      return fitted(tag);
    case 'change': {
      const { was, work, connections, series } = tag;
      const is = isSpecification(tag.is) ? tag.is : undefined;
      const said = { ...(was && { was }), ...(is && { is }), ...(work && { work }), series, connections };
      return tag.refs.map((ref, index) => ({
        ...base,
        kind: 'change',
        ref,
        index,
        of: tag.refs.length,
        ...said,
      }));
    }
    case 'reading':
      return [
        ...(tag.type === undefined
          ? []
          : fitted({
              refs: tag.refs,
              specification: tag.type,
              connections: [],
              series: false,
              isBesideReading: true,
            })),
        ...tag.items.flatMap(readings),
        ...partsRead(tag.items).flatMap((part) => states(part, tag.states ?? [])),
      ];
    case 'state':
      return tag.subjects.flatMap((subject) => states(subject, tag.states));
    case 'wire':
      return [{ ...base, kind: 'wire', from: tag.from, to: tag.to }];
    case 'question': {
      const { text, span } = tag.expression;
      const set = book.beside(phase, conditions);
      return [{ ...base, kind: 'question', expression: text, expressionSpan: span, set }];
    }
    case 'provenance':
      return tag.refs.map((ref) => ({
        ...base,
        kind: 'provenance',
        ref,
        says: tag.says,
        ...(tag.was === undefined ? {} : { was: tag.was }),
      }));
    case 'mod-verdict':
      return [
        {
          ...base,
          kind: 'mod-verdict',
          mod: tag.mod.text,
          verdict: tag.verdict,
          ...(tag.why === undefined ? {} : { why: tag.why.text }),
        },
      ];
    case 'mention':
    case 'unreadable':
      return [];
  }

  function fitted({
    refs,
    specification,
    connections,
    series,
    isBesideReading,
  }: Pick<
    Extract<Tag, { kind: 'fitted' }>,
    'refs' | 'specification' | 'connections' | 'series' | 'isBesideReading'
  >): FittedStatement[] {
    return refs.map((ref, index) => ({
      ...base,
      kind: 'fitted',
      ref,
      index,
      of: refs.length,
      series,
      ...(specification && { specification }),
      connections,
      ...(isBesideReading && { isBesideReading }),
    }));
  }

  function states(subject: Point, said: Extract<Tag, { kind: 'state' }>['states']): Statement[] {
    return said.map(({ state }) => ({
      ...base,
      kind: 'state',
      subject,
      state,
      ...(tag.remark === undefined ? {} : { remark: tag.remark.text }),
    }));
  }

  /** `12 V -> 14 V` was read twice: as found, then as left. */
  function readings(item: ReadingItem): Statement[] {
    if (item.then === undefined) return [reading(item, phase, item.values)];
    const [before, after]: [Phase, Phase] = phase === 'factory' ? [phase, phase] : ['as-found', 'as-left'];
    return [reading(item, before, item.values), reading(item, after, [item.then])];
  }

  function reading(item: ReadingItem, inPhase: Phase, values: ReadingItem['values']): Statement {
    const { at, to, quantity, frequency, atVolts } = item;
    const nominal = column === 'nominal';
    const takesPart = !place.planned && !nominal;
    if (takesPart) noteMains(item, inPhase, values, book);
    const set = takesPart
      ? book.place(inPhase, conditions, tag.span, isRunning(item))
      : book.beside(inPhase, conditions);
    return {
      ...base,
      phase: inPhase,
      kind: 'reading',
      at,
      ...(to && { to }),
      quantity,
      values,
      ...(frequency && { frequency }),
      ...(atVolts && { atVolts }),
      set,
      nominal,
      conditions,
    };
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
