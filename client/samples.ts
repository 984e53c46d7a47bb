/** Owns the sample that the walkthrough ends with: a copy to write in, for what the extension was packed with may not be changed. */
import * as vscode from 'vscode';
import { SAMPLE_FILES } from './sample-files.ts';

/** What was written in the copy before stays: only files that are not there are put there. */
export async function openSample(context: vscode.ExtensionContext): Promise<void> {
  const version = String((context.extension.packageJSON as { readonly version?: unknown }).version);
  const shop = vscode.Uri.joinPath(context.globalStorageUri, `sample-shop-${version}`);
  for (const file of SAMPLE_FILES) {
    await copyMissing(
      vscode.Uri.joinPath(context.extensionUri, 'samples', file),
      vscode.Uri.joinPath(shop, file),
    );
  }
  await vscode.window.showTextDocument(vscode.Uri.joinPath(shop, SAMPLE_FILES[0]), { preview: false });
}

async function copyMissing(from: vscode.Uri, to: vscode.Uri): Promise<void> {
  const { fs } = vscode.workspace;
  const isThere = await fs.stat(to).then(
    () => true,
    () => false,
  );
  if (isThere) return;
  await fs.createDirectory(vscode.Uri.joinPath(to, '..'));
  await fs.writeFile(to, await fs.readFile(from));
}
