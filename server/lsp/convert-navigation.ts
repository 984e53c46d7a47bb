/** Owns the conversion of what goes from name to name (references, renames, symbols of all sheets) into the protocol's types. */
import {
  type AnnotatedTextEdit,
  type DocumentHighlight,
  DocumentHighlightKind,
  type Location,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Highlight, Reference } from '../features/references.ts';
import type { Renamed, RenameEdit } from '../features/rename.ts';
import type { Snapshot } from '../text/snapshot.ts';
import type { Places } from './positions.ts';

const HIGHLIGHT: Readonly<Record<Highlight['kind'], DocumentHighlightKind>> = {
  write: DocumentHighlightKind.Write,
  read: DocumentHighlightKind.Read,
  text: DocumentHighlightKind.Text,
};

export function toHighlight(
  places: Places,
  snapshot: Snapshot,
  { span, kind }: Highlight,
): DocumentHighlight {
  return { range: places.rangeOf(snapshot, span), kind: HIGHLIGHT[kind] };
}

export function toLocation(places: Places, { sheet, span }: Pick<Reference, 'sheet' | 'span'>): Location {
  return { uri: sheet.uri, range: places.rangeOf(sheet.snapshot, span) };
}

/** What the editor can be told of an edit. */
export interface RenameForm {
  readonly isVersioned: boolean;
  /** It can ask before it makes an edit. */
  readonly asksFirst: boolean;
  /** The version of a sheet that is open; null of one that is not. */
  readonly versionOf: (uri: string) => number | null;
}

const PROSE = 'prose';

/** One edit over all sheets. Where the editor cannot ask, bare words in prose are left as they are. */
export function toWorkspaceEdit(places: Places, { sheets }: Renamed, form: RenameForm): WorkspaceEdit {
  const made = sheets.map(({ sheet, edits }) => ({
    sheet,
    edits: form.asksFirst && form.isVersioned ? edits : edits.filter(({ isProse }) => !isProse),
  }));
  const changed = made.filter(({ edits }) => edits.length > 0);
  if (!form.isVersioned) {
    return {
      changes: Object.fromEntries(
        changed.map(({ sheet, edits }) => [
          sheet.uri,
          edits.map((edit) => toTextEdit(places, sheet.snapshot, edit)),
        ]),
      ),
    };
  }
  const documentChanges = changed.map(({ sheet, edits }) => ({
    textDocument: { uri: sheet.uri, version: form.versionOf(sheet.uri) },
    edits: edits.map((edit) => toTextEdit(places, sheet.snapshot, edit)),
  }));
  if (!changed.some(({ edits }) => edits.some(({ isProse }) => isProse))) return { documentChanges };
  return {
    documentChanges,
    changeAnnotations: {
      [PROSE]: {
        label: 'Bare words in prose',
        description: 'the same letters may mean something else there',
        needsConfirmation: true,
      },
    },
  };
}

function toTextEdit(
  places: Places,
  snapshot: Snapshot,
  { span, text, isProse }: RenameEdit,
): TextEdit | AnnotatedTextEdit {
  const edit = { range: places.rangeOf(snapshot, span), newText: text };
  return isProse ? { ...edit, annotationId: PROSE } : edit;
}
