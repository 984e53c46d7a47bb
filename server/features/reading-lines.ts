/** Owns which list items stand in one run as readings at valves, and how their line begins: for whoever continues or rewrites a list. */
import type { Block, Passage, ReadingItem, Ref, Tag, Terminal } from '../dialect/tree.ts';
import { lineAt, lineSpan, type Snapshot } from '../text/snapshot.ts';
import type { Span } from '../text/span.ts';

type Reading = Extract<Tag, { kind: 'reading' }>;

/** One list item that says only what was read at a valve. */
export interface ReadingLine {
  readonly passage: Passage;
  readonly tag: Reading;
  /** The valves read together, in the order written. */
  readonly refs: readonly Ref[];
}

/** The item's own tag, where the item is a reading at the electrodes of valves, or of their cathode current. */
export function readingLine(block: Block | undefined): ReadingLine | undefined {
  if (block?.kind !== 'passage' || block.container !== 'item' || block.task !== undefined) return undefined;
  const [tag] = block.tags;
  if (tag?.kind !== 'reading' || tag.form !== 'item') return undefined;
  const refs = new Map<string, Ref>();
  for (const { at, to } of tag.items) {
    const ref = at.kind === 'terminal' ? at.ref : at;
    if (to !== undefined || ref.kind !== 'ref' || ref.class !== 'valve') return undefined;
    if (!refs.has(ref.name)) refs.set(ref.name, ref);
  }
  return { passage: block, tag, refs: [...refs.values()] };
}

/** What stands before an item on its line: white space, marks of quotes, and the bullet. */
export function lineHead(snapshot: Snapshot, { start }: Span): string {
  return snapshot.text.slice(lineSpan(snapshot, lineAt(snapshot, start)).start, start);
}

/** Electrodes or pins that a line reads, each once, in the order written. */
export function terminalsOf(items: readonly ReadingItem[]): readonly Terminal[] {
  const found = new Map<string, Terminal>();
  for (const { at } of items) {
    if (at.kind === 'terminal' && !found.has(`${at.by} ${at.terminal}`))
      found.set(`${at.by} ${at.terminal}`, at);
  }
  return [...found.values()];
}
