/**
 * Owns where each block of a note stands: its section's topic, its phase, and whether what it says is only planned.
 * It reads headings and task boxes, never values.
 */
import type { Block, Heading, Note, NotePiece, Tag } from '../dialect/tree.ts';
import { createGatherer, createPicker, type Picker } from '../text/picking.ts';
import { type Span, spanBetween } from '../text/span.ts';
import { createWalk } from '../text/walking.ts';
import { isAlike, isSameList } from './keeping.ts';
import type { Phase, Section, SheetKind, Topic } from './model.ts';
import { findTopic, phaseOfTopic, type Words } from './words.ts';

/** Where one block stands. */
export interface Place {
  readonly topic: Topic;
  /** As headings give it; `phaseOf` says what holds for one tag. */
  readonly phase: Phase;
  /** False where no heading named the phase and it follows from the place alone. */
  readonly named: boolean;
  readonly planned: boolean;
}

export interface Plan {
  readonly titleHeading?: Heading;
  readonly sections: readonly Section[];
  /** One for each piece of the note, in order. */
  readonly pieces: readonly PiecePlan[];
  /** The phase of a tag that stands in `place`, or of anything else that stands there. */
  readonly phaseOf: (place: Place, at: Tag | Span) => Phase;
  /** The first change that is done, where phases go by that. */
  readonly turn: Tag | undefined;
  /** On which side of the first change a piece lies, where phases go by that; the change itself where it is in it. */
  readonly sideOf: (index: number) => Side;
}

export type Side = 'all' | 'before' | 'behind' | Tag;

/** Where the blocks of one piece stand. The same object as long as they stand there. */
export interface PiecePlan {
  readonly piece: NotePiece;
  /** One for each block, in order. */
  readonly places: readonly Place[];
  /** One for each heading, in order. */
  readonly levels: readonly Level[];
  /** The first change that is done, where no heading names its phase. */
  readonly firstChange?: Tag;
}

interface Level {
  readonly depth: number;
  readonly topic: Topic;
  readonly phase: Phase;
  readonly named: boolean;
}

/** Headings of a piece with what their words mean. */
interface Outline {
  readonly words: Words;
  readonly headings: readonly { readonly heading: Heading; readonly topic: Topic | undefined }[];
}

const outlines = new WeakMap<NotePiece, Outline>();

function outlineOf(piece: NotePiece, words: Words): Outline['headings'] {
  const known = outlines.get(piece);
  if (known?.words === words) return known.headings;
  const headings = piece.blocks
    .filter((block) => block.kind === 'heading')
    .map((heading) => ({ heading, topic: findTopic(words, heading.text) }));
  outlines.set(piece, { words, headings });
  return headings;
}

const outlinesOf = new WeakMap<Words, Picker<NotePiece, Outline['headings'][number]>>();

/** The headings of all pieces. */
function outlineOfAll({ pieces, thread }: Note, words: Words): Outline['headings'] {
  const gather = outlinesOf.get(words) ?? createGatherer((piece) => outlineOf(piece, words));
  outlinesOf.set(words, gather);
  return gather(pieces, thread);
}

const levelsOf = createGatherer(({ levels }: PiecePlan) => levels);
const turnsIn = createPicker((plan: PiecePlan) => (plan.firstChange === undefined ? undefined : plan));

/** A note's sections, and the place of each of its blocks. */
export function planNote(note: Note, words: Words, kind: SheetKind): Plan {
  const outline = outlineOfAll(note, words);
  const titleHeading = findTitleHeading(outline);
  const pieces = planPieces(note, words, kind, titleHeading);
  const levels = levelsOf(pieces, note.thread);

  // A sheet without headings for the work is read by its first change: found before it, left after it.
  const namesWork = levels.some((level) => level.topic === 'work' || level.topic === 'as-left');
  const [turning] = kind === 'job' && !namesWork ? turnsIn(pieces, note.thread) : [];
  const turn = turning === undefined ? -1 : pieces.indexOf(turning);
  const firstChange = turning?.firstChange;
  const phaseOf = (place: Place, at: Tag | Span): Phase => {
    if (kind !== 'job' || place.named || place.phase === 'noted') return place.phase;
    // A change under a heading of the author's own is our work all the same.
    if ('kind' in at && at.kind === 'change' && !place.planned) return 'work';
    const { start } = 'kind' in at ? at.span : at;
    return firstChange !== undefined && start > firstChange.span.start ? 'as-left' : place.phase;
  };
  const sideOf = (index: number): Side => {
    if (firstChange === undefined) return 'all';
    if (index === turn) return firstChange;
    return index < turn ? 'before' : 'behind';
  };

  const beside = [levels, kind, firstChange, note.end];
  const known = sectionsOf.get(outline);
  const sections =
    known !== undefined && isSameList(known.beside, beside)
      ? known.sections
      : outline.map(({ heading }, i): Section => {
          const level = levels[i] ?? START;
          const place: Place = {
            topic: level.topic,
            phase: fixedPhase(kind, level),
            named: level.named,
            planned: false,
          };
          const phase = phaseOf(place, heading.span);
          return sectionAt(heading, level.topic, phase, outline[i + 1]?.heading.span ?? note.end);
        });
  sectionsOf.set(outline, { beside, sections });
  return {
    titleHeading,
    sections,
    pieces,
    phaseOf,
    turn: firstChange,
    sideOf,
  };
}

/** By the headings of all pieces, which stay the same list while they are the same. */
const sectionsOf = new WeakMap<
  Outline['headings'],
  { readonly beside: readonly unknown[]; readonly sections: readonly Section[] }
>();

const sectionsAt = new WeakMap<Heading, { readonly section: Section; readonly next: Span }>();

/** The section that a heading begins, which ends at `next`: the same object while nothing of it but its length changes. */
function sectionAt(heading: Heading, topic: Topic, phase: Phase, next: Span): Section {
  const known = sectionsAt.get(heading);
  if (known?.next === next && known.section.topic === topic && known.section.phase === phase)
    return known.section;
  const section: Section = {
    heading: heading.text,
    depth: heading.depth,
    topic,
    phase,
    headingSpan: heading.span,
    bodySpan: spanBetween(heading.span, next),
  };
  sectionsAt.set(heading, { section, next });
  return section;
}

const START: Level = { depth: 0, topic: 'other', phase: 'as-found', named: false };

/** What the blocks before a piece decide about its own. Never changed: a change makes another. */
interface Standing {
  /** Headings with a meaning that the present one stands under. */
  readonly above: readonly Level[];
  readonly current: Level;
  readonly workBegun: boolean;
  /** The depth of the unticked task that the next item may belong to. */
  readonly openDepth: number | undefined;
}

const AT_START: Standing = { above: [], current: START, workBegun: false, openDepth: undefined };

interface Planned {
  readonly words: Words;
  readonly kind: SheetKind;
  /** The title, where it is in this piece. */
  readonly title: Heading | undefined;
  readonly from: Standing;
  readonly plan: PiecePlan;
  readonly to: Standing;
}

const planned = new WeakMap<NotePiece, Planned>();

/** The places of all blocks, piece by piece: what stood alike before and stands behind the same is not placed again. */
function planPieces(
  { pieces, thread }: Note,
  words: Words,
  kind: SheetKind,
  titleHeading: Heading | undefined,
): readonly PiecePlan[] {
  return walkPieces(pieces, thread, [words, kind, titleHeading], AT_START, (piece, from) => {
    const title = outlineOf(piece, words).find(({ heading }) => heading === titleHeading)?.heading;
    const known = planned.get(piece);
    if (
      known !== undefined &&
      known.words === words &&
      known.kind === kind &&
      known.title === title &&
      isSameStanding(known.from, from)
    )
      return { result: known.plan, known: known.to };
    const { plan, to } = placeBlocks(piece, words, kind, title, from);
    planned.set(piece, { words, kind, title, from, plan, to });
    return { result: plan, known: to };
  }).results;
}

const walkPieces = createWalk<NotePiece, Standing, PiecePlan>(isSameStanding);

function isSameStanding(one: Standing, other: Standing): boolean {
  return (
    one === other ||
    (one.workBegun === other.workBegun &&
      one.openDepth === other.openDepth &&
      isAlike(one.current, other.current) &&
      one.above.length === other.above.length &&
      one.above.every((level, i) => isAlike(level, other.above[i] ?? START)))
  );
}

/** The place of every block of a piece, and the level of every heading, in order. */
function placeBlocks(
  piece: NotePiece,
  words: Words,
  kind: SheetKind,
  title: Heading | undefined,
  from: Standing,
): { readonly plan: PiecePlan; readonly to: Standing } {
  const places: Place[] = [];
  const levels: Level[] = [];
  const above = [...from.above];
  const tasks = watchTasks(from.openDepth);
  const topics = new Map(outlineOf(piece, words).map(({ heading, topic }) => [heading, topic]));
  let { current, workBegun } = from;
  for (const block of piece.blocks) {
    if (block.kind === 'heading') {
      while ((above.at(-1)?.depth ?? 0) >= block.depth) above.pop();
      const topic = block === title ? 'title' : topics.get(block);
      if (topic === 'work' || topic === 'as-left') workBegun = true;
      current = levelOf(block.depth, topic, above.at(-1), workBegun);
      levels.push(current);
      if (topic !== undefined && topic !== 'title') above.push(current);
    }
    const isPlanned = tasks.isPlanned(block) || current.topic === 'wanted';
    const { topic, named } = current;
    places.push({ topic, phase: fixedPhase(kind, current), named, planned: isPlanned });
  }
  const firstChange = findFirstChange(piece.blocks, places);
  return {
    plan: { piece, places, levels, firstChange },
    to: { above, current, workBegun, openDepth: tasks.openDepth() },
  };
}

/** What a heading begins: its own words decide, then the heading it stands under, then whether work has begun. */
function levelOf(
  depth: number,
  topic: Topic | undefined,
  parent: Level | undefined,
  workBegun: boolean,
): Level {
  const level = (phase: Phase, named: boolean, own = topic ?? 'other'): Level => ({
    depth,
    topic: own,
    phase,
    named,
  });
  const own = topic === undefined ? undefined : phaseOfTopic(topic);
  if (own !== undefined) return level(own, true);
  if (parent !== undefined) return level(parent.phase, parent.named, topic ?? parent.topic);
  if (!workBegun) return level('as-found', false);
  // Safety checks behind the work are part of the check-out, and parts listed there are those that went in.
  if (topic === 'safety') return level('as-left', true);
  if (topic === 'parts') return level('work', true);
  return level('noted', false);
}

/** Sheets that are no job have one phase throughout, but for what another revision has. */
function fixedPhase(kind: SheetKind, level: Level): Phase {
  if (kind === 'job' || level.topic === 'differs') return level.phase;
  if (kind === 'chassis') return 'factory';
  return kind === 'mod' ? 'work' : 'noted';
}

/** The first heading, unless it begins a phase; one above all others is the title whatever it begins with. */
function findTitleHeading(outline: Outline['headings']): Heading | undefined {
  const [first, ...others] = outline;
  if (first === undefined) return undefined;
  if (first.topic === undefined) return first.heading;
  const standsAbove = others.length > 0 && others.every(({ heading }) => heading.depth > first.heading.depth);
  return standsAbove && others.some(({ topic }) => topic !== undefined) ? first.heading : undefined;
}

/** Says of each block in turn whether it is, or stands in, an unticked task. */
function watchTasks(from: number | undefined) {
  let openDepth = from;
  const isPlanned = (block: Block): boolean => {
    if (block.kind !== 'passage' || block.listDepth === 0) {
      openDepth = undefined;
      return false;
    }
    // A paragraph inside an item has the item's depth and belongs to it; another item of that depth ends it.
    const leaves =
      block.container === 'item' ? block.listDepth <= (openDepth ?? 0) : block.listDepth < (openDepth ?? 0);
    if (leaves) openDepth = undefined;
    if (block.task === 'open' && openDepth === undefined) openDepth = block.listDepth;
    return openDepth !== undefined;
  };
  return { isPlanned, openDepth: () => openDepth };
}

/** Headings under which a change is one that nobody made: put off, turned down, or left as it was. */
const PROPOSING: ReadonlySet<Topic> = new Set(['next-time', 'declined', 'left-alone']);

/**
 * Whether a tag only says what might be done: nothing was changed, and nothing is to be ordered for it. A task says of
 * itself whether it is done or open, whatever it stands under.
 */
export function isProposed({ topic }: Place, block: Block, tag: Tag): boolean {
  if (!PROPOSING.has(topic) || (block.kind === 'passage' && block.task !== undefined)) return false;
  return tag.kind === 'change' || (tag.kind === 'fitted' && topic !== 'left-alone');
}

/** The first change that is done, among blocks whose phase no heading names. */
function findFirstChange(blocks: readonly Block[], places: readonly Place[]): Tag | undefined {
  for (const [i, block] of blocks.entries()) {
    const place = places[i];
    if (place === undefined || place.named || place.planned) continue;
    const change = tagsOf(block).find((tag) => tag.kind === 'change' && !isProposed(place, block, tag));
    if (change !== undefined) return change;
  }
  return undefined;
}

/** All tags of a block in order. */
export function tagsOf(block: Block): readonly Tag[] {
  if (block.kind === 'opaque') return [];
  if (block.kind !== 'table') return block.tags;
  const tags: Tag[] = [];
  for (const row of block.rows) for (const tag of row.tags) tags.push(tag);
  return tags;
}
