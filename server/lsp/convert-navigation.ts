/** Owns the conversion of what leads from place to place (references, renames, symbols of all sheets, folds, links) into the protocol's types. */
import {
  type AnnotatedTextEdit,
  type DocumentHighlight,
  DocumentHighlightKind,
  type DocumentLink,
  type FoldingRange,
  FoldingRangeKind,
  type Location,
  type SymbolInformation,
  SymbolKind,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Fold } from '../features/folding.ts';
import type { Link } from '../features/links.ts';
import type { Highlight, Reference } from '../features/references.ts';
import type { Renamed, RenameEdit } from '../features/rename.ts';
import type { FoundSymbol } from '../features/workspace-symbols.ts';
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

/** A sheet as a whole: its beginning. */
export function toSheetLocation(uri: string): Location {
  const start = { line: 0, character: 0 };
  return { uri, range: { start, end: start } };
}

/** What the editor can be told of an edit. */
export interface RenameForm {
  readonly isVersioned: boolean;
  /** It can ask before it makes an edit. */
  readonly asksFirst: boolean;
  /** The version of a sheet that is open; null of one that is not. */
  readonly versionOf: (uri: string) => number | null;
}

const SYMBOL: Readonly<Record<FoundSymbol['kind'], SymbolKind>> = {
  sheet: SymbolKind.File,
  part: SymbolKind.Field,
  heading: SymbolKind.Namespace,
};

export function toSymbolInformation(
  places: Places,
  { name, kind, container, uri, at }: FoundSymbol,
): SymbolInformation {
  const location =
    at === undefined ? toSheetLocation(uri) : { uri, range: places.rangeOf(at.sheet.snapshot, at.span) };
  return { name, kind: SYMBOL[kind], containerName: container, location };
}

export function toFoldingRange({ from, to, kind }: Fold): FoldingRange {
  return {
    startLine: from,
    endLine: to,
    ...(kind === 'front-matter' ? { kind: FoldingRangeKind.Region } : {}),
  };
}

export function toDocumentLink(
  places: Places,
  snapshot: Snapshot,
  { span, uri, tooltip }: Link,
): DocumentLink {
  return { range: places.rangeOf(snapshot, span), target: uri, tooltip };
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
