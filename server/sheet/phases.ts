/**
 * Owns where each block of a note stands: its section's topic, its phase, and whether what it says is only planned.
 * It reads headings and task boxes, never values.
 */
import type { Block, Heading, Note, Row, Tag } from '../dialect/tree.ts';
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
  /** One for each block of the note, in order. */
  readonly places: readonly Place[];
  /** The phase of a tag that stands in `place`, or of anything else at an offset there. */
  readonly phaseOf: (place: Place, at: Tag | number) => Phase;
}

interface Level {
  readonly depth: number;
  readonly topic: Topic;
  readonly phase: Phase;
  readonly named: boolean;
}

/** A note's sections, and the place of each of its blocks. */
export function planNote(note: Note, words: Words, kind: SheetKind): Plan {
  const headings = note.blocks.filter((block) => block.kind === 'heading');
  const titleHeading = findTitleHeading(headings, words);
  const { places, levels } = placeBlocks(note.blocks, words, kind, titleHeading);

  // A sheet without headings for the work is read by its first change: found before it, left after it.
  const namesWork = levels.some((level) => level.topic === 'work' || level.topic === 'as-left');
  const firstChange = kind === 'job' && !namesWork ? findFirstChange(note.blocks, places) : undefined;
  const phaseOf = (place: Place, at: Tag | number): Phase => {
    if (kind !== 'job' || place.named || place.phase === 'noted') return place.phase;
    // A change under a heading of the author's own is our work all the same.
    if (typeof at !== 'number' && at.kind === 'change' && !place.planned) return 'work';
    const offset = typeof at === 'number' ? at : at.span.start;
    return firstChange !== undefined && offset > firstChange ? 'as-left' : place.phase;
  };

  const sections = headings.map((heading, i): Section => {
    const level = levels[i] ?? START;
    const place: Place = { ...level, phase: fixedPhase(kind, level), planned: false };
    return {
      heading: heading.text,
      depth: heading.depth,
      topic: level.topic,
      phase: phaseOf(place, heading.span.start),
      headingSpan: heading.span,
      bodySpan: {
        start: heading.span.end,
        end: headings[i + 1]?.span.start ?? note.snapshot.text.length,
      },
    };
  });
  return { titleHeading, sections, places, phaseOf };
}

const START: Level = { depth: 0, topic: 'other', phase: 'as-found', named: false };

/** The place of every block, and the level of every heading, in order. */
function placeBlocks(
  blocks: readonly Block[],
  words: Words,
  kind: SheetKind,
  titleHeading: Heading | undefined,
): { places: Place[]; levels: Level[] } {
  const places: Place[] = [];
  const levels: Level[] = [];
  /** Headings with a meaning that the present one stands under. */
  const above: Level[] = [];
  const isPlannedTask = watchTasks();
  let current = START;
  let workBegun = false;
  for (const block of blocks) {
    if (block.kind === 'heading') {
      while ((above.at(-1)?.depth ?? 0) >= block.depth) above.pop();
      const topic = block === titleHeading ? 'title' : findTopic(words, block.text);
      if (topic === 'work' || topic === 'as-left') workBegun = true;
      current = levelOf(block.depth, topic, above.at(-1), workBegun);
      levels.push(current);
      if (topic !== undefined && topic !== 'title') above.push(current);
    }
    const planned = isPlannedTask(block) || current.topic === 'wanted';
    places.push({ ...current, phase: fixedPhase(kind, current), planned });
  }
  return { places, levels };
}

/** What a heading begins: its own words decide, then the heading it stands under, then whether work has begun. */
function levelOf(
  depth: number,
  topic: Topic | undefined,
  parent: Level | undefined,
  workBegun: boolean,
): Level {
  if (topic === undefined && parent !== undefined) return { ...parent, depth };
  const own = topic === undefined ? undefined : phaseOfTopic(topic);
  if (own !== undefined) return { depth, topic: topic ?? 'other', phase: own, named: true };
  if (parent !== undefined) return { ...parent, depth, topic: topic ?? parent.topic };
  const unnamed = { depth, topic: topic ?? 'other', named: false };
  if (!workBegun) return { ...unnamed, phase: 'as-found' };
  // Safety checks behind the work are part of the check-out, and parts listed there are those that went in.
  if (topic === 'safety') return { ...unnamed, phase: 'as-left', named: true };
  if (topic === 'parts') return { ...unnamed, phase: 'work', named: true };
  return { ...unnamed, phase: 'noted' };
}

/** Sheets that are no job have one phase throughout, but for what another revision has. */
function fixedPhase(kind: SheetKind, level: Level): Phase {
  if (kind === 'job' || level.topic === 'differs') return level.phase;
  if (kind === 'chassis') return 'factory';
  return kind === 'mod' ? 'work' : 'noted';
}

/** The first heading, unless it begins a phase; one above all others is the title whatever it begins with. */
function findTitleHeading(headings: readonly Heading[], words: Words): Heading | undefined {
  const [first, ...others] = headings;
  if (first === undefined) return undefined;
  if (findTopic(words, first.text) === undefined) return first;
  const standsAbove = others.length > 0 && others.every((heading) => heading.depth > first.depth);
  return standsAbove && others.some((heading) => findTopic(words, heading.text) !== undefined)
    ? first
    : undefined;
}

/** Says of each block in turn whether it is, or stands in, an unticked task. */
function watchTasks(): (block: Block) => boolean {
  let openDepth: number | undefined;
  return (block) => {
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

/** Where the first change that is done stands, among blocks whose phase no heading names. */
function findFirstChange(blocks: readonly Block[], places: readonly Place[]): number | undefined {
  for (const [i, block] of blocks.entries()) {
    const place = places[i];
    if (place === undefined || place.named || place.planned) continue;
    const change = tagsOf(block).find((tag) => tag.kind === 'change' && !isProposed(place, block, tag));
    if (change !== undefined) return change.span.start;
  }
  return undefined;
}

/** All tags of a block in order. */
export function tagsOf(block: Block): readonly Tag[] {
  if (block.kind === 'table') return block.rows.flatMap((row: Row) => row.tags);
  return block.kind === 'opaque' ? [] : block.tags;
}
