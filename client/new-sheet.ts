/** Owns the new job sheet: where it goes, what it is called, and the starter text, which is only text. */
import * as vscode from 'vscode';
import { isSheet } from './sheets.ts';

export async function newJobSheet(): Promise<void> {
  const chassis = chassisOf(vscode.window.activeTextEditor?.document);
  const folder = await folderForJobs();
  const day = new Date().toISOString().slice(0, 10);
  const target =
    folder === undefined
      ? vscode.Uri.parse(`untitled:job-${day}.tagstrip.md`)
      : await freeName(folder, `job-${day}`);
  const document = await vscode.workspace.openTextDocument(target.with({ scheme: 'untitled' }));
  const editor = await vscode.window.showTextDocument(document);
  await vscode.languages.setTextDocumentLanguage(document, 'markdown');
  if (document.getText() === '') await editor.insertSnippet(new vscode.SnippetString(template(day, chassis)));
}

/** Beside the open job sheet, else the folder `jobs` of the workspace, else the workspace's own. */
async function folderForJobs(): Promise<vscode.Uri | undefined> {
  const open = vscode.window.activeTextEditor?.document;
  if (open !== undefined && isSheet(open) && !open.isUntitled && /\/jobs\/[^/]*$/.test(open.uri.path)) {
    return vscode.Uri.joinPath(open.uri, '..');
  }
  const root = vscode.workspace.workspaceFolders?.[0]?.uri;
  if (root === undefined) return undefined;
  const jobs = vscode.Uri.joinPath(root, 'jobs');
  return (await exists(jobs)) ? jobs : root;
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

/** The chassis sheet that the open job names: the next amplifier on the bench is often one more of the same. */
function chassisOf(document: vscode.TextDocument | undefined): string | undefined {
  if (document === undefined || !isSheet(document)) return undefined;
  return /^chassis:[ \t]*(\S.*?)[ \t]*$/m.exec(document.getText())?.[1];
}

/** Nothing stands here that could be taken for a reading: cells are blank, and the discharge is still to be done. */
function template(day: string, chassis: string | undefined): string {
  const on = (chassis ?? '../chassis/name.tagstrip.md').replace(/[\\$}]/g, '\\$&');
  return `---
job: \${1:number}
\${2:chassis: ${on}}
received: ${day}
---
# \${3:Amplifier, and whose}

## Complaint
\${4:In the owner’s words.}

## As found
Mains {mains: \${5:?} V}, \${6:dummy load, 15 min, no signal}.

| Valve | a | g2 | g | k |
| ----- | - | -- | - | - |
| \${7:V1}    |   |    |   |   |

$0

## Work
- [ ] plug out, discharged through 10k: B+1: ? V

## As left

## Owner

`;
}
