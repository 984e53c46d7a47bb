/**
 * Owns the extension's life, on a desk and in a browser alike: it wakes with the first Markdown file, and starts the language server
 * only when there is a sheet. Until then nothing of the client's library runs.
 */
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { newJobSheet } from './new-sheet.ts';
import { isSheet } from './sheets.ts';
import { SummaryPanel } from './summary-panel.ts';
import { WRITE_COMMAND, write } from './write.ts';

/** Starts the language server of this edition; loaded only when it is wanted. */
export type StartServer = (context: vscode.ExtensionContext) => Promise<BaseLanguageClient>;

let client: Promise<BaseLanguageClient> | undefined;

export function activateWith(startServer: StartServer, context: vscode.ExtensionContext): void {
  const start = () => {
    client ??= startOnce(startServer, context);
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
    vscode.commands.registerCommand('tagstrip.restartServer', () => restart(start)),
  );
  vscode.workspace.textDocuments.forEach(startFor);
}

export async function deactivate(): Promise<void> {
  const running = await client?.catch(() => undefined);
  if (running?.isRunning() === true) await running.stop();
}

/** A start that failed is told once and may be tried again. */
async function startOnce(
  startServer: StartServer,
  context: vscode.ExtensionContext,
): Promise<BaseLanguageClient> {
  try {
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

async function restart(start: () => Promise<BaseLanguageClient>): Promise<void> {
  const running = await client?.catch(() => undefined);
  if (running === undefined) {
    await start();
    return;
  }
  if (running.isRunning()) await running.stop();
  await running.start();
}
