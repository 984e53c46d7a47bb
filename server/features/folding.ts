/**
 * Owns what of a sheet may be folded away: its front matter, its tables, long runs of lines about parts, and its sections where the
 * editor does not fold headings by itself.
 */
import type { Block } from '../dialect/tree.ts';
import type { Analysis } from '../shop/shop.ts';
import { lineAt, lineSpan } from '../text/snapshot.ts';

export interface Fold {
  /** First and last line that belong to it, from 0; the first stays to be seen. */
  readonly from: number;
  readonly to: number;
  readonly kind: 'front-matter' | 'section' | 'table' | 'list';
}

/** Fewer lines are seen at a glance. */
const LONG_LIST = 6;

export interface FoldingOptions {
  readonly headings: boolean;
}

export function folds({ sheet }: Analysis, { headings }: FoldingOptions): readonly Fold[] {
  const { snapshot, frontMatter, note, sections } = sheet;
  const lineOf = (offset: number) => lineAt(snapshot, offset);
  /** The last line before an offset that says anything. */
  const lastLine = (offset: number) => {
    let line = lineOf(offset);
    while (line > 0 && isBlank(lineSpan(snapshot, line), snapshot.text, offset)) line--;
    return line;
  };
  const folded: Fold[] = [];
  const fold = (from: number, to: number, kind: Fold['kind']) => {
    if (to > from) folded.push({ from, to, kind });
  };
  if (frontMatter !== undefined) {
    fold(lineOf(frontMatter.span.start), lineOf(frontMatter.span.end), 'front-matter');
  }
  if (headings) {
    sections.forEach(({ depth, headingSpan }, i) => {
      const next = sections.slice(i + 1).find((each) => each.depth <= depth);
      fold(
        lineOf(headingSpan.start),
        lastLine(next === undefined ? snapshot.text.length : next.headingSpan.start),
        'section',
      );
    });
  }
  for (const run of runsOf(note.blocks)) {
    const [first, last] = [run[0], run.at(-1)];
    if (first === undefined || last === undefined) continue;
    const [from, to] = [lineOf(first.span.start), lastLine(last.span.end)];
    if (first.kind === 'table') fold(from, to, 'table');
    else if (run.length >= LONG_LIST) fold(from, to, 'list');
  }
  return folded.sort((a, b) => a.from - b.from || b.to - a.to);
}

/** Whether nothing stands on a line before `end`. */
function isBlank(line: { readonly start: number; readonly end: number }, text: string, end: number): boolean {
  return text.slice(line.start, Math.max(line.start, Math.min(line.end, end))).trim() === '';
}

/** Each table by itself, and list items that stand together and name parts or points. */
function runsOf(blocks: readonly Block[]): readonly (readonly Block[])[] {
  const runs: Block[][] = [];
  let run: Block[] = [];
  for (const block of blocks) {
    const isItem = block.kind === 'passage' && block.listDepth > 0 && block.tags.length > 0;
    if (isItem) {
      if (run.length === 0) runs.push(run);
      run.push(block);
      continue;
    }
    run = [];
    if (block.kind === 'table') runs.push([block]);
  }
  return runs;
}
