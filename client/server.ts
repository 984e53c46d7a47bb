/** Owns starting the language server and telling it where the caret is. */
import * as vscode from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { isSheet, sheetSelector } from './sheets.ts';
import { WRITE_COMMAND } from './write.ts';

/** A server that ends by itself more often than this within three minutes is left alone, and the user is told. */
const MOST_RESTARTS = 3;

export async function startServer(context: vscode.ExtensionContext): Promise<LanguageClient> {
  const module = context.asAbsolutePath('dist/tagstrip-lsp.cjs');
  const client = new LanguageClient(
    'tagstrip',
    'Tagstrip',
    {
      run: { module, transport: TransportKind.ipc },
      debug: { module, transport: TransportKind.ipc, options: { execArgv: ['--nolazy', '--inspect=6019'] } },
    },
    {
      documentSelector: sheetSelector as never,
      connectionOptions: { maxRestartCount: MOST_RESTARTS },
      initializationOptions: { writeCommand: true },
      middleware: {
        provideHover: async (...asked) => trustWriting(await asked[3](asked[0], asked[1], asked[2])),
      },
    },
  );
  context.subscriptions.push(client, tellCaret(client));
  await client.start();
  return client;
}

/** A link in a hover may write into the sheet, and do nothing else. */
function trustWriting(hover: vscode.Hover | null | undefined): vscode.Hover | null | undefined {
  for (const content of hover?.contents ?? []) {
    if (content instanceof vscode.MarkdownString) content.isTrusted = { enabledCommands: [WRITE_COMMAND] };
  }
  return hover;
}

/** Says which line the caret is on whenever that changes, so that values appear as one leaves a line. */
function tellCaret(client: LanguageClient): vscode.Disposable {
  let last = '';
  return vscode.window.onDidChangeTextEditorSelection(({ textEditor: { document }, selections }) => {
    const line = selections[0]?.active.line;
    if (line === undefined || !isSheet(document) || !client.isRunning()) return;
    const uri = client.code2ProtocolConverter.asUri(document.uri);
    const place = `${uri} ${line}`;
    if (place === last) return;
    last = place;
    void client.sendNotification('tagstrip/caret', { uri, line });
  });
}
