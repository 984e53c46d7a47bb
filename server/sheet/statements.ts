/**
 * Owns what a note's tags state, in order: each part, reading and change as a statement of its own with its phase and
 * set, candidates kept or dropped, and the acceptances and wishes beside them.
 */
import type {
  Block,
  Note,
  Passage,
  Point,
  ReadingItem,
  Row,
  Specification,
  Tag,
  WritingProblem,
} from '../dialect/tree.ts';
import { createNearest } from '../text/nearest.ts';
import type { Span } from '../text/span.ts';
import { createMentionList, freeNodeNames, type MentionList } from './mentions.ts';
import {
  type Acceptance,
  type Keep,
  type Phase,
  plainValue,
  type ReadingSet,
  type Statement,
} from './model.ts';
import { nameOf } from './names.ts';
import { isProposed, type Place, type Plan } from './phases.ts';
import { createSetBook, type SetBook } from './sets.ts';

export interface Stated {
  readonly statements: readonly Statement[];
  readonly sets: readonly ReadingSet[];
  readonly acceptances: readonly Acceptance[];
  readonly keeps: readonly Keep[];
  readonly mentions: MentionList;
  readonly problems: readonly WritingProblem[];
  /** Candidates that turned out to be text: nothing that was noticed in them stands. */
  readonly texts: readonly Span[];
}

/** Where a tag stands and what its table's column adds to it. */
interface Standing {
  readonly place: Place;
  readonly column?: Row['phases'][number];
}

/** Reads all tags of a note; `nominalMains` is the volts that the sheet says the amplifier is made for. */
export function readStatements(note: Note, plan: Plan, nominalMains: number | undefined): Stated {
  const statements: Statement[] = [];
  const acceptances: Acceptance[] = [];
  const keeps: Keep[] = [];
  const problems: WritingProblem[] = [];
  const texts: Span[] = [];
  const book = createSetBook(nominalMains);
  const mentions = createMentionList();
  const nodes = freeNodeNames(note);
  const nearestNode = createNearest(nodes);

  const readTag = (tag: Tag, standing: Standing): void => {
    if (tag.kind === 'candidate') {
      if (nodes.has(tag.node.name)) readTag(tag.tag, standing);
      else {
        texts.push(tag.span);
        const near = nearestNode(tag.node.name);
        if (near !== undefined) problems.push(unknownNode(tag.node, near));
      }
      return;
    }
    mentions.addTag(tag);
    if (tag.kind === 'accept')
      acceptances.push({
        rule: tag.rule.text,
        ruleSpan: tag.rule.span,
        subjects: tag.subjects.map(nameOf),
        ...(tag.reason === undefined ? {} : { reason: tag.reason.text }),
        span: tag.span,
      });
    else if (tag.kind === 'keep')
      for (const ref of tag.refs)
        keeps.push({ ref, ...(tag.reason === undefined ? {} : { reason: tag.reason.text }), span: tag.span });
    else statements.push(...statementsOf(tag, standing, plan, book));
  };

  for (const [i, block] of note.blocks.entries()) {
    const place = plan.places[i];
    if (place === undefined) continue;
    if (block.kind === 'heading') book.endStanding();
    if (block.kind === 'passage') standConditions(block, place, plan, book, mentions);
    for (const { tag, column } of tagsWithColumns(block)) {
      if (isProposed(place, block, tag)) mentions.addTag(tag);
      else readTag(tag, { place, column });
    }
  }
  return { statements, sets: book.sets(), acceptances, keeps, mentions, problems, texts };
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
  book.stand(standing, plan.phaseOf(place, span.start));
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
      return fitted(tag.refs, tag.specification, tag.connections, tag.series);
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
        ...(tag.type === undefined ? [] : fitted(tag.refs, tag.type, [], false)),
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

  function fitted(
    refs: Extract<Tag, { kind: 'fitted' }>['refs'],
    specification: Specification | undefined,
    connections: Extract<Tag, { kind: 'fitted' }>['connections'],
    series: boolean,
  ): Statement[] {
    return refs.map((ref, index) => ({
      ...base,
      kind: 'fitted',
      ref,
      index,
      of: refs.length,
      series,
      ...(specification === undefined ? {} : { specification }),
      connections,
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
  if (quantity?.unit === 'V') book.readMains(phase, quantity.value);
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
