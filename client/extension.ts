/** Owns the extension's life: it wakes with the first Markdown file, and starts the language server only when there is a sheet. */
import * as vscode from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { newJobSheet } from './new-sheet.ts';
import { startServer } from './server.ts';
import { isSheet } from './sheets.ts';
import { SummaryPanel } from './summary-panel.ts';

let client: Promise<LanguageClient> | undefined;

export function activate(context: vscode.ExtensionContext): void {
  const start = () => {
    client ??= startServer(context);
    return client;
  };
  const startFor = (document: vscode.TextDocument) => {
    if (isSheet(document)) void start();
  };
  const panel = new SummaryPanel(start);
  context.subscriptions.push(
    panel,
    vscode.workspace.onDidOpenTextDocument(startFor),
    vscode.commands.registerCommand('tagstrip.newJobSheet', newJobSheet),
    vscode.commands.registerCommand('tagstrip.showSummaryForBench', () => panel.show('bench')),
    vscode.commands.registerCommand('tagstrip.showSummaryForCustomer', () => panel.show('customer')),
    vscode.commands.registerCommand('tagstrip.restartServer', async () => {
      if (client === undefined) return;
      await (await client).restart();
    }),
  );
  vscode.workspace.textDocuments.forEach(startFor);
}

export async function deactivate(): Promise<void> {
  await (await client)?.stop();
}
