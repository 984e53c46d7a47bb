/** Owns new sheets: where each kind goes, what it is called, and that it opens with its starter text in place. */
import * as vscode from 'vscode';
import { chassisNamedIn, isChassisSheet } from './head.ts';
import { isSheet } from './sheets.ts';
import { dayOf, pathFrom, type SheetKind, templateOf } from './templates.ts';

/** Where each kind lies in a shop's folder, and what it is called until it is saved under another name. */
const PLACES: Readonly<
  Record<SheetKind, { readonly folder?: string; readonly name: (day: string) => string }>
> = {
  job: { folder: 'jobs', name: (day) => `job-${day}` },
  chassis: { folder: 'chassis', name: () => 'chassis' },
  mod: { folder: 'mods', name: () => 'mod' },
  // The nearest shop sheet upwards governs, so it lies above the others.
  shop: { name: () => 'shop' },
};

export async function newSheet(kind: SheetKind): Promise<void> {
  const open = vscode.window.activeTextEditor?.document;
  const day = dayOf(new Date());
  const { folder: wanted, name } = PLACES[kind];
  const folder = await folderFor(wanted, open);
  const target =
    folder === undefined
      ? vscode.Uri.parse(`untitled:${name(day)}.tagstrip.md`)
      : await freeName(folder, name(day));
  const document = await vscode.workspace.openTextDocument(target.with({ scheme: 'untitled' }));
  const editor = await vscode.window.showTextDocument(document);
  await vscode.languages.setTextDocumentLanguage(document, 'markdown');
  if (document.getText() !== '') return;
  const text = templateOf(kind, { day, chassis: chassisFor(open, folder) });
  await editor.insertSnippet(new vscode.SnippetString(text));
}

/** Beside the open sheet of its kind, else the kind's folder in the workspace, else the workspace's own. */
async function folderFor(
  wanted: string | undefined,
  open: vscode.TextDocument | undefined,
): Promise<vscode.Uri | undefined> {
  if (wanted !== undefined && open !== undefined && isSheet(open) && !open.isUntitled) {
    if (open.uri.path.split('/').at(-2) === wanted) return vscode.Uri.joinPath(open.uri, '..');
  }
  const workspace = open === undefined ? undefined : vscode.workspace.getWorkspaceFolder(open.uri)?.uri;
  const root = workspace ?? vscode.workspace.workspaceFolders?.[0]?.uri;
  if (root === undefined || wanted === undefined) return root;
  const folder = vscode.Uri.joinPath(root, wanted);
  return (await exists(folder)) ? folder : root;
}

async function freeName(folder: vscode.Uri, stem: string): Promise<vscode.Uri> {
  for (let n = 1; ; n++) {
    const uri = vscode.Uri.joinPath(folder, `${stem}${n === 1 ? '' : `-${n}`}.tagstrip.md`);
    const isOpen = vscode.workspace.textDocuments.some((document) => document.uri.path === uri.path);
    if (!isOpen && !(await exists(uri))) return uri;
  }
}

async function exists(uri: vscode.Uri): Promise<boolean> {
  return vscode.workspace.fs.stat(uri).then(
    () => true,
    () => false,
  );
}

/**
 * What the open sheet is about, as a path from the new sheet's folder: a job's chassis sheet for one more of the same, and a chassis
 * sheet itself for what is begun from it. None where the two share no disk.
 */
function chassisFor(
  open: vscode.TextDocument | undefined,
  folder: vscode.Uri | undefined,
): string | undefined {
  if (open === undefined || folder === undefined || !isSheet(open)) return undefined;
  const text = open.getText();
  const named = chassisNamedIn(text);
  if (open.isUntitled || open.uri.scheme !== folder.scheme) return named;
  if (isChassisSheet(text)) return pathFrom(folder.path, open.uri.path);
  return named === undefined
    ? undefined
    : pathFrom(folder.path, vscode.Uri.joinPath(open.uri, '..', named).path);
}
