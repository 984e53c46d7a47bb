/** Owns the requests that bring a sheet's tags into normal form: formatting of all of it, and of a stretch. */
import { tidyEdits } from '../features/tidy.ts';
import type { Context } from './context.ts';
import { toTextEdit } from './convert.ts';

/** The editor's own settings of tabs and spaces say nothing of tags. */
export function registerFormatting({ about, connection, places }: Context): void {
  connection.onDocumentFormatting(
    about([], ({ sheet }) => tidyEdits(sheet).map((edit) => toTextEdit(places, sheet.snapshot, edit))),
  );
  connection.onDocumentRangeFormatting(
    about(['range'], ({ sheet }, { range }) => {
      const within = places.spanOf(sheet.snapshot, range);
      return tidyEdits(sheet, within).map((edit) => toTextEdit(places, sheet.snapshot, edit));
    }),
  );
}
