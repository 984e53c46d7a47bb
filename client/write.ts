/** Owns the command behind a hover's link: it writes what the server offered, into the text it was offered for and no other. */
import * as vscode from 'vscode';

export const WRITE_COMMAND = 'tagstrip.write';

interface Offer {
  readonly uri: string;
  readonly version: number;
  readonly range: { readonly start: Place; readonly end: Place };
  readonly text: string;
}

interface Place {
  readonly line: number;
  readonly character: number;
}

export async function write({ uri, version, range: { start, end }, text }: Offer): Promise<void> {
  const target = vscode.Uri.parse(uri).toString();
  const document = vscode.workspace.textDocuments.find((each) => each.uri.toString() === target);
  // Typed on since the hover was shown: the place may be another one now.
  if (document === undefined || document.version !== version) return;
  const edit = new vscode.WorkspaceEdit();
  const range = new vscode.Range(start.line, start.character, end.line, end.character);
  edit.replace(document.uri, range, text);
  await vscode.workspace.applyEdit(edit);
}
