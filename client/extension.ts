/**
 * Owns the extension's life: it wakes with the first Markdown file, and starts the language server only when there is a sheet.
 * Until then nothing of the client's library runs.
 */
import * as vscode from 'vscode';
import type { LanguageClient } from 'vscode-languageclient/node';
import { newJobSheet } from './new-sheet.ts';
import { isSheet } from './sheets.ts';
import { SummaryPanel } from './summary-panel.ts';
import { WRITE_COMMAND, write } from './write.ts';

let client: Promise<LanguageClient> | undefined;

export function activate(context: vscode.ExtensionContext): void {
  const start = () => {
    client ??= startOnce(context);
    return client;
  };
  const startFor = (document: vscode.TextDocument) => {
    if (isSheet(document)) void start().catch(() => {});
  };
  const panel = new SummaryPanel(start);
  context.subscriptions.push(
    panel,
    vscode.workspace.onDidOpenTextDocument(startFor),
    vscode.commands.registerCommand('tagstrip.newJobSheet', newJobSheet),
    vscode.commands.registerCommand('tagstrip.showSummaryForBench', () => panel.show('bench')),
    vscode.commands.registerCommand('tagstrip.showSummaryForCustomer', () => panel.show('customer')),
    vscode.commands.registerCommand(WRITE_COMMAND, write),
    vscode.commands.registerCommand('tagstrip.restartServer', async () => {
      const running = await client?.catch(() => undefined);
      if (running === undefined) await start();
      else await running.restart();
    }),
  );
  vscode.workspace.textDocuments.forEach(startFor);
}

export async function deactivate(): Promise<void> {
  const running = await client?.catch(() => undefined);
  if (running?.isRunning() === true) await running.stop();
}

/** A start that failed is told once and may be tried again. */
async function startOnce(context: vscode.ExtensionContext): Promise<LanguageClient> {
  try {
    const { startServer } = await import('./server.ts');
    return await startServer(context);
  } catch (error) {
    client = undefined;
    const why = error instanceof Error ? error.message : String(error);
    void vscode.window.showErrorMessage(
      `Tagstrip: the language server did not start (${why}). “Tagstrip: Restart the Language Server” tries again.`,
    );
    throw error;
  }
}
