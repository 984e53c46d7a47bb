/**
 * Owns the extension's life, on a desk and in a browser alike: it wakes with the first Markdown file, and starts the language server
 * only when there is a sheet. Until then nothing of the client's library runs.
 */
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { newSheet } from './new-sheet.ts';
import { extendMarkdownIt } from './preview.ts';
import { openSample } from './samples.ts';
import { isSheet } from './sheets.ts';
import { insertSnippet, offerSnippets } from './snippets.ts';
import { CheckStatus } from './status.ts';
import { SummaryPanel } from './summary-panel.ts';
import { WRITE_COMMAND, write } from './write.ts';

/** Starts the language server of this edition; loaded only when it is wanted. */
export type StartServer = (
  context: vscode.ExtensionContext,
  status: CheckStatus,
) => Promise<BaseLanguageClient>;

/** What the editor's own Markdown preview asks of the extension. */
export interface ForPreview {
  readonly extendMarkdownIt: typeof extendMarkdownIt;
}

let client: Promise<BaseLanguageClient> | undefined;

export function activateWith(startServer: StartServer, context: vscode.ExtensionContext): ForPreview {
  const status = new CheckStatus();
  const start = () => {
    client ??= startOnce(startServer, context, status);
    return client;
  };
  const startFor = (document: vscode.TextDocument) => {
    if (isSheet(document)) void start().catch(() => {});
  };
  const panel = new SummaryPanel(start);
  context.subscriptions.push(
    panel,
    status,
    offerSnippets(),
    vscode.workspace.onDidOpenTextDocument(startFor),
    vscode.commands.registerCommand('tagstrip.newJobSheet', () => newSheet('job')),
    vscode.commands.registerCommand('tagstrip.newChassisSheet', () => newSheet('chassis')),
    vscode.commands.registerCommand('tagstrip.newModSheet', () => newSheet('mod')),
    vscode.commands.registerCommand('tagstrip.newShopSheet', () => newSheet('shop')),
    vscode.commands.registerCommand('tagstrip.insertSnippet', insertSnippet),
    vscode.commands.registerCommand('tagstrip.openSample', () => openSample(context)),
    vscode.commands.registerCommand('tagstrip.showSummaryForBench', () => panel.show('bench')),
    vscode.commands.registerCommand('tagstrip.showSummaryForCustomer', () => panel.show('customer')),
    vscode.commands.registerCommand('tagstrip.showSummaryForLabel', () => panel.show('label')),
    vscode.commands.registerCommand(WRITE_COMMAND, write),
    vscode.commands.registerCommand('tagstrip.restartServer', () => restart(start)),
  );
  vscode.workspace.textDocuments.forEach(startFor);
  return { extendMarkdownIt };
}

export async function deactivate(): Promise<void> {
  const running = await client?.catch(() => undefined);
  if (running?.isRunning() === true) await running.stop();
}

/** A start that failed is told once and may be tried again. */
async function startOnce(
  startServer: StartServer,
  context: vscode.ExtensionContext,
  status: CheckStatus,
): Promise<BaseLanguageClient> {
  try {
    return await startServer(context, status);
  } catch (error) {
    client = undefined;
    status.serverIs('stopped');
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
