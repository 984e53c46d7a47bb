/** Owns reading files for the server that it cannot reach itself: in a browser, and in folders that are on no disk. */
import * as vscode from 'vscode';
import { SHEET_GLOB } from './sheets.ts';

const SKIPPED = '**/{node_modules,.git}/**';

/** The text as it is, a byte-order mark included; null where there is none. */
export async function readText(uri: vscode.Uri): Promise<string | null> {
  try {
    const bytes = await vscode.workspace.fs.readFile(uri);
    return new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
  } catch {
    return null;
  }
}

/** All sheets in a folder and below it, or the one that is meant. */
export async function listSheets(uri: vscode.Uri): Promise<vscode.Uri[]> {
  if (uri.path.endsWith('.tagstrip.md')) return (await isFile(uri)) ? [uri] : [];
  return vscode.workspace.findFiles(new vscode.RelativePattern(uri, SHEET_GLOB), SKIPPED);
}

async function isFile(uri: vscode.Uri): Promise<boolean> {
  return vscode.workspace.fs.stat(uri).then(
    ({ type }) => (type & vscode.FileType.File) !== 0,
    () => false,
  );
}
