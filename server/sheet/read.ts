/** Owns reading one note as a sheet: its kind, its fields, and everything that headings, tags and prose say, in order. */
import type { FrontMatterEntry, Note, WritingProblem } from '../dialect/tree.ts';
import type { Span } from '../text/span.ts';
import { proseMentions } from './mentions.ts';
import type { Photo, Sheet, SheetKind, Task } from './model.ts';
import { type Plan, planNote } from './phases.ts';
import { readStatements } from './statements.ts';
import { defaultWords, type Words } from './words.ts';

/** What one note says. Total: whatever cannot be read is left out or stands among the problems. */
export function readSheet(note: Note, words: Words = defaultWords): Sheet {
  const { snapshot, frontMatter } = note;
  const field = fieldsOf(frontMatter?.entries ?? []);
  const kind = kindOf(field('sheet')?.text, snapshot.uri);
  const plan = planNote(note, words, kind);
  const { statements, sets, acceptances, keeps, mentions, problems, texts } = readStatements(
    note,
    plan,
    nominalMains(field('mains')?.text),
  );
  return {
    uri: snapshot.uri,
    snapshot,
    note,
    kind,
    ...(frontMatter === undefined ? {} : { frontMatter }),
    field,
    title: titleOf(field, plan),
    sections: plan.sections,
    sets,
    statements,
    acceptances,
    keeps,
    mentions: [...mentions.mentions(), ...proseMentions(note, mentions.subjects)],
    tasks: tasksOf(note),
    photos: photosOf(note, plan),
    problems: [...standingProblems(note.problems, texts), ...problems],
  };
}

/** What the reader noticed, but for what it noticed in candidates that are text. Candidates come in order and apart. */
function standingProblems(
  noticed: readonly WritingProblem[],
  texts: readonly Span[],
): readonly WritingProblem[] {
  if (texts.length === 0) return noticed;
  return noticed.filter(({ span }) => {
    const last = texts[countUpTo(texts, span.start) - 1];
    return last === undefined || span.end > last.end;
  });
}

/** How many begin at `offset` or before, by halving. */
function countUpTo(spans: readonly Span[], offset: number): number {
  let low = 0;
  let high = spans.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((spans[middle]?.start ?? 0) <= offset) low = middle + 1;
    else high = middle;
  }
  return low;
}

type Field = Sheet['field'];

function fieldsOf(entries: readonly FrontMatterEntry[]): Field {
  const fields = new Map<string, { text: string; span: FrontMatterEntry['valueSpan'] }>();
  for (const { key, scalar, valueSpan } of entries) {
    if (scalar !== undefined && !fields.has(key)) fields.set(key, { text: scalar, span: valueSpan });
  }
  return (key) => fields.get(key);
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

/** The volts of `mains: 230 V 50 Hz`. */
function nominalMains(written: string | undefined): number | undefined {
  const digits = written?.match(/\d+(?:\.\d+)?/)?.[0];
  const volts = Number(digits);
  return digits !== undefined && Number.isFinite(volts) && volts > 0 ? volts : undefined;
}

const TASK_MARK = /^\s*(?:[-*+]|\d{1,9}[.)])\s+\[[ \txX]\]\s*|^\s*\[[ \txX]\]\s*/;

function tasksOf({ blocks, snapshot }: Note): Task[] {
  const tasks: Task[] = [];
  for (const block of blocks) {
    if (block.kind !== 'passage' || block.task === undefined) continue;
    const text = snapshot.text
      .slice(block.span.start, block.span.end)
      .replace(TASK_MARK, '')
      .replace(/\s+/g, ' ')
      .trim();
    tasks.push({ done: block.task === 'done', text, span: block.span });
  }
  return tasks;
}

function photosOf({ blocks }: Note, plan: Plan): Photo[] {
  const photos: Photo[] = [];
  for (const [i, block] of blocks.entries()) {
    const place = plan.places[i];
    if (block.kind !== 'passage' || place === undefined) continue;
    for (const { alt, url, span, refs } of block.images) {
      const phase = plan.phaseOf(place, span.start);
      photos.push({ alt, url, refs: refs.map(({ name }) => name), phase, span });
    }
  }
  return photos;
}
