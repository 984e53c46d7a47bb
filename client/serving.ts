/** Owns what the client and the server agree on, whichever way the server runs: options, hovers that may write, the caret, files. */
import * as vscode from 'vscode';
import { type BaseLanguageClient, type LanguageClientOptions, State } from 'vscode-languageclient';
import { listSheets, readText } from './files.ts';
import { isSheet, sheetSelector } from './sheets.ts';
import type { CheckStatus, ServerState } from './status.ts';
import { WRITE_COMMAND } from './write.ts';

/** A server that ends by itself more often than this within three minutes is left alone, and the user is told. */
const MOST_RESTARTS = 3;

export function clientOptions(status: CheckStatus): LanguageClientOptions {
  return {
    documentSelector: sheetSelector as never,
    connectionOptions: { maxRestartCount: MOST_RESTARTS },
    // Said once by whoever started it, and at the foot of the window; by itself the library would say it twice more.
    initializationFailedHandler: () => false,
    initializationOptions: { writeCommand: true, readsFiles: true, showsHeadings: true },
    diagnosticPullOptions: { onChange: true },
    middleware: {
      provideHover: async (...asked) => trustWriting(await asked[3](asked[0], asked[1], asked[2])),
      provideDiagnostics: async (document, previous, token, next) => {
        const report = await next(document, previous, token);
        if (report !== null && report !== undefined)
          status.answered('uri' in document ? document.uri : document);
        return report;
      },
      handleDiagnostics: (uri, diagnostics, next) => {
        next(uri, diagnostics);
        status.answered(uri);
      },
    },
  };
}

const STATES: Readonly<Record<State, ServerState>> = {
  [State.Starting]: 'starting',
  [State.StartFailed]: 'stopped',
  [State.Running]: 'running',
  [State.Stopped]: 'stopped',
};

/** Says at the foot of the window whether sheets are checked. */
export function tellState(client: BaseLanguageClient, status: CheckStatus): vscode.Disposable {
  return client.onDidChangeState(({ newState }) => status.serverIs(STATES[newState]));
}

/** What the server may ask of the client and hears from it, from its first start until the extension ends. */
export function serve(client: BaseLanguageClient): vscode.Disposable[] {
  const { asUri } = client.protocol2CodeConverter;
  return [
    tellCaret(client),
    client.onRequest('tagstrip/read', ({ uri }: { readonly uri: string }) => readText(asUri(uri))),
    client.onRequest('tagstrip/list', async ({ uri }: { readonly uri: string }) =>
      (await listSheets(asUri(uri))).map((sheet) => client.code2ProtocolConverter.asUri(sheet)),
    ),
  ];
}

/** A link in a hover may write into the sheet, and do nothing else. */
function trustWriting(hover: vscode.Hover | null | undefined): vscode.Hover | null | undefined {
  for (const content of hover?.contents ?? []) {
    if (content instanceof vscode.MarkdownString) content.isTrusted = { enabledCommands: [WRITE_COMMAND] };
  }
  return hover;
}

/** Says which line the caret is on whenever that changes, so that values appear as one leaves a line. */
function tellCaret(client: BaseLanguageClient): vscode.Disposable {
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
