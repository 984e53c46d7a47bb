/** Owns the new job sheet: where it goes, what it is called, and the starter text, which is only text. */
import * as vscode from 'vscode';
import { isSheet } from './sheets.ts';

export async function newJobSheet(): Promise<void> {
  const folder = await folderForJobs();
  const day = new Date().toISOString().slice(0, 10);
  const target =
    folder === undefined
      ? vscode.Uri.parse(`untitled:job-${day}.tagstrip.md`)
      : await freeName(folder, `job-${day}`);
  const document = await vscode.workspace.openTextDocument(target.with({ scheme: 'untitled' }));
  const editor = await vscode.window.showTextDocument(document);
  await vscode.languages.setTextDocumentLanguage(document, 'markdown');
  if (document.getText() === '') await editor.insertSnippet(new vscode.SnippetString(template(day)));
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

function template(day: string): string {
  return `---
job: \${1:number}
received: ${day}
---
# \${2:Amplifier, and whose}

## Complaint
\${3:In the owner’s words.}

## As found
Mains {mains: \${4:230} V}, \${5:dummy load, 15 min}.

- \${6:V5 6V6GT: a 331, g2 322, k 19.4}

## Work
- [ ] plug out, discharged through 10k: \${7:B+1: 4 V}
$0
## As left

## Owner

`;
}
