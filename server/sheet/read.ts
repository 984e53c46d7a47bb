/** Owns reading one note as a sheet: its kind, its fields, and everything that headings, tags and prose say, in order. */
import { isStanding, readNote } from '../dialect/note.ts';
import type { FrontMatterEntry, Note, NotePiece, WritingProblem } from '../dialect/tree.ts';
import { countBefore } from '../text/halving.ts';
import { createNearest } from '../text/nearest.ts';
import { createGatherer, createPicker } from '../text/picking.ts';
import type { Span } from '../text/span.ts';
import { differenceOf } from '../text/stretch.ts';
import { isSameList, keepList } from './keeping.ts';
import { askMains, nominalMains } from './mains-field.ts';
import { freeNodesIn, proseMentions } from './mentions.ts';
import type { Section, Sheet, SheetKind } from './model.ts';
import { type Plan, planNote } from './phases.ts';
import { collectSets, type KeptSets } from './sets.ts';
import { type OwnNodes, readStatements, type Said } from './statements.ts';
import { defaultWords, type Words } from './words.ts';

/** The last sheet that was made of one sheet's notes with the same words, and what the next may take over of it. */
interface Last {
  readonly sheet: Sheet;
  readonly nodes: OwnNodes;
  readonly subjects: Subjects;
  readonly sets: KeptSets;
}

/** By the thread of the notes, then by the words that they were read with. */
const lastOf = new WeakMap<object, WeakMap<Words, Last>>();

/**
 * What one note says. Total: whatever cannot be read is left out or stands among the problems. What an edit did not change is
 * the very same object as in the sheet before, each list too where everything in it is.
 */
export function readSheet(note: Note, words: Words = defaultWords): Sheet {
  // The spans of a note that was passed by are no longer those of its text.
  if (!isStanding(note)) return readSheet(readNote(note.snapshot), words);
  const { thread } = note;
  if (thread === undefined) return readNext(note, words, undefined).sheet;
  const byWords = lastOf.get(thread) ?? new WeakMap<Words, Last>();
  lastOf.set(thread, byWords);
  const last = byWords.get(words);
  if (last?.sheet.note === note) return last.sheet;
  const next = readNext(note, words, last);
  byWords.set(words, next);
  return next.sheet;
}

function readNext(note: Note, words: Words, last: Last | undefined): Last {
  const { snapshot, frontMatter, thread } = note;
  const field = fieldsOf(frontMatter?.entries ?? []);
  const kind = kindOf(field('sheet')?.text, snapshot.uri);
  const plan = planNote(note, words, kind);
  const mains = nominalMains(field('mains')?.text);
  const nodes = ownNodes(note, last?.nodes);
  const { said, book } = readStatements(note, plan, mains, nodes);
  const sets: KeptSets = last?.sets ?? new Map();
  const subjects = countSubjects(subjectsSaid(said, thread), last?.subjects);
  const texts = textsSaid(said, thread);
  const old = last?.sheet;
  const sections = keepList(old?.sections, plan.sections);
  const sheet: Sheet = {
    uri: snapshot.uri,
    snapshot,
    note,
    kind,
    ...(frontMatter === undefined ? {} : { frontMatter }),
    field,
    title: titleOf(field, plan),
    sections,
    differing: differingOf(sections, thread),
    sets: keepList(old?.sets, collectSets(pagesSaid(said, thread), book, mains, sets)),
    statements: statementsSaid(said, thread),
    acceptances: acceptancesSaid(said, thread),
    keeps: keepsSaid(said, thread),
    mentions: keepList(old?.mentions, [
      ...mentionsSaid(said, thread),
      ...proseMentions(note, subjects.names),
    ]),
    tasks: tasksSaid(said, thread),
    photos: photosSaid(said, thread),
    problems: keepList(old?.problems, [
      ...standingProblems(note.problems, texts),
      ...problemsSaid(said, thread),
      ...mainsAsked(field('mains')),
    ]),
  };
  return { sheet, nodes, subjects, sets };
}

const differingOf = createPicker((section: Section) => (section.topic === 'differs' ? section : undefined));
const statementsSaid = createGatherer((said: Said) => said.statements);
const acceptancesSaid = createGatherer((said: Said) => said.acceptances);
const keepsSaid = createGatherer((said: Said) => said.keeps);
const tasksSaid = createGatherer((said: Said) => said.tasks);
const photosSaid = createGatherer((said: Said) => said.photos);
const mentionsSaid = createGatherer((said: Said) => said.mentions);
const problemsSaid = createGatherer((said: Said) => said.problems);
const textsSaid = createGatherer((said: Said) => said.texts);
const subjectsSaid = createGatherer((said: Said) => said.subjects);
const pagesSaid = createPicker(({ page }: Said) =>
  page.entries.size + page.mainsAt.size === 0 ? undefined : page,
);
const nodesUsed = createGatherer((piece: NotePiece) => freeNodesIn(piece).used);

function ownNodes({ pieces, thread }: Note, last: OwnNodes | undefined): OwnNodes {
  const names = new Set(nodesUsed(pieces, thread));
  if (last !== undefined && isSameList([...last.names], [...names])) return last;
  let nearest: OwnNodes['nearest'] | undefined;
  return {
    names,
    nearest: (name) => {
      nearest ??= createNearest(names);
      return nearest(name);
    },
  };
}

/** Names that prose may mention, with how often something is said of each. */
interface Subjects {
  readonly all: readonly string[];
  readonly counts: Map<string, number>;
  readonly names: ReadonlySet<string>;
}

/** Counts only what came and went; the set of names is the same object while no name comes or goes. */
function countSubjects(all: readonly string[], last: Subjects | undefined): Subjects {
  const counts = last?.counts ?? new Map<string, number>();
  const { gone, come } = differenceOf(last?.all ?? [], all);
  for (const name of come) counts.set(name, (counts.get(name) ?? 0) + 1);
  for (const name of gone) counts.set(name, (counts.get(name) ?? 0) - 1);
  for (const name of gone) if (counts.get(name) === 0) counts.delete(name);
  const isSame =
    last !== undefined &&
    counts.size === last.names.size &&
    come.every((name) => !counts.has(name) || last.names.has(name));
  return { all, counts, names: isSame ? last.names : new Set(counts.keys()) };
}

/** What the reader noticed, but for what it noticed in candidates that are text. Candidates come in order and apart. */
function standingProblems(
  noticed: readonly WritingProblem[],
  texts: readonly Span[],
): readonly WritingProblem[] {
  if (texts.length === 0) return noticed;
  return noticed.filter(({ span }) => {
    const last = texts[countBefore(texts, ({ start }) => start <= span.start) - 1];
    return last === undefined || span.end > last.end;
  });
}

type Field = Sheet['field'];
type FieldValue = NonNullable<ReturnType<Field>>;

const valuesOf = new WeakMap<FrontMatterEntry, FieldValue>();

function fieldsOf(entries: readonly FrontMatterEntry[]): Field {
  const fields = new Map<string, FieldValue>();
  for (const entry of entries) {
    const { key, scalar, valueSpan } = entry;
    if (scalar === undefined || fields.has(key)) continue;
    const value = valuesOf.get(entry) ?? { text: scalar, span: valueSpan };
    valuesOf.set(entry, value);
    fields.set(key, value);
  }
  return (key) => fields.get(key);
}

const asked = new WeakMap<FieldValue, readonly WritingProblem[]>();

function mainsAsked(mains: FieldValue | undefined): readonly WritingProblem[] {
  if (mains === undefined) return [];
  const problem = asked.get(mains) ?? [askMains(mains)].filter((each) => each !== undefined);
  asked.set(mains, problem);
  return problem;
}

/** As the front matter says, else the first heading that begins no phase, else what the amplifier or the mod is called. */
function titleOf(field: Field, { titleHeading }: Plan): string {
  return field('title')?.text ?? titleHeading?.text ?? field('model')?.text ?? field('name')?.text ?? '';
}

const KINDS: readonly SheetKind[] = ['job', 'chassis', 'mod', 'shop'];
const SHOP_FILE = 'shop.tagstrip.md';

/** What the front matter says, else what the file's name says, else a job. */
function kindOf(written: string | undefined, uri: string): SheetKind {
  const word = written?.trim().toLowerCase();
  const named = KINDS.find((kind) => kind === word);
  if (named !== undefined) return named;
  return uri === SHOP_FILE || uri.endsWith(`/${SHOP_FILE}`) ? 'shop' : 'job';
}
