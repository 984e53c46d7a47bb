/** Owns what a table's cell is to the readers of rows, and what they give back. */
import type { Span } from '../text/span.ts';
import type { Row, Tag, WritingProblem } from './tree.ts';

export interface Cell {
  /** What stands between the pipes, without the white space around it; empty where nothing does. */
  readonly span: Span;
  /** Tags in braces, which any cell may hold; then the cell is not read as a value. */
  readonly tags: readonly Tag[];
  readonly prose: readonly Span[];
}

/** What a row's cells were read as. */
export interface RowRead {
  readonly tags: readonly { readonly tag: Tag; readonly phase: Row['phases'][number] }[];
  /** Cells whose text is no mention of anything by itself, because it was read. */
  readonly read: ReadonlySet<Cell>;
  readonly problems: readonly WritingProblem[];
}

/** Whether a cell says that nothing was read or is known: blank, a dash, `?`, `n/a`. */
export function isBlankCell(text: string, cell: Cell | undefined): boolean {
  if (cell === undefined) return true;
  return /^(?:[-–—?.]*|\\-|n\/?a)$/i.test(text.slice(cell.span.start, cell.span.end));
}
