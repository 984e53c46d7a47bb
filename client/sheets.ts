/** Owns what the client takes for a sheet: by its name alone, for it stays a Markdown document to the editor. */
import type { DocumentSelector, TextDocument } from 'vscode';

export const SHEET_GLOB = '**/*.tagstrip.md';

export function isSheet(document: TextDocument): boolean {
  return document.uri.path.endsWith('.tagstrip.md');
}

/** Whatever holds it: the disk, a sheet not saved yet, a remote or virtual folder. */
export const sheetSelector: DocumentSelector = [
  { pattern: SHEET_GLOB },
  { scheme: 'untitled', pattern: SHEET_GLOB },
];
