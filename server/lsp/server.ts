/**
 * Owns the composition of the language server: one connection, one shop, a table of handlers that convert, call and convert
 * back. It holds no analysis of its own and knows neither disk nor browser.
 */
import {
  CodeActionKind,
  type Connection,
  type InitializeResult,
  type TextDocumentContentChangeEvent,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { completion } from '../features/completion.ts';
import { definition } from '../features/definition.ts';
import { fixes } from '../features/fixes.ts';
import { hover } from '../features/hover.ts';
import { inlays } from '../features/inlays.ts';
import { symbols } from '../features/symbols.ts';
import type { Files } from '../shop/files.ts';
import { createShop } from '../shop/shop.ts';
import { renderHtml } from '../summary/html.ts';
import { offsetAt } from '../text/snapshot.ts';
import {
  toCodeAction,
  toCompletionItem,
  toDocumentSymbol,
  toHover,
  toInlayHint,
  toRange,
} from './convert.ts';
import { createDispatcher } from './dispatch.ts';
import { createPublisher } from './publish.ts';

/** Quiet after the last keystroke before findings are computed, in milliseconds. */
const QUIET = 150;

/** Our own messages, beside the protocol's. */
export const SUMMARY_REQUEST = 'tagstrip/summary';
/** The client says which line the caret is on, so that values appear as one leaves a line. */
export const CARET_NOTIFICATION = 'tagstrip/caret';

export interface SummaryParams {
  readonly textDocument: { readonly uri: string };
  readonly reader: 'bench' | 'customer';
}

export interface ServerInfo {
  readonly version: string;
}

export function startServer(connection: Connection, files: Files, info: ServerInfo): void {
  const shop = createShop({ files });
  const dispatcher = createDispatcher(connection, shop);
  const documents = new Map<string, TextDocument>();
  const typing = new Map<string, number>();
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const publisher = createPublisher(connection, shop, (uri) => typing.get(uri));
  let canRefreshInlays = false;

  const refresh = (uri: string) => {
    dispatcher.safely(`findings of ${uri}`, async () => {
      await publisher.refresh(uri);
      for (const job of shop.dependents(uri))
        if (shop.store.open(job) !== undefined) await publisher.refresh(job);
    });
  };
  const refreshInlays = () => {
    if (canRefreshInlays) dispatcher.safely('inlay values', () => connection.languages.inlayHint.refresh());
  };
  const refreshSoon = (uri: string) => {
    clearTimeout(timers.get(uri));
    timers.set(
      uri,
      setTimeout(() => {
        timers.delete(uri);
        refresh(uri);
      }, QUIET),
    );
  };
  /** The line being typed is done: what was held back for it may be shown. */
  const leaveLine = (uri: string) => {
    if (!typing.delete(uri)) return;
    refresh(uri);
    refreshInlays();
  };

  connection.onInitialize(({ capabilities }): InitializeResult => {
    canRefreshInlays = capabilities.workspace?.inlayHint?.refreshSupport === true;
    return {
      serverInfo: { name: 'tagstrip', version: info.version },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
        hoverProvider: true,
        inlayHintProvider: true,
        completionProvider: { triggerCharacters: ['{', '.', ' ', '=', ':'] },
        definitionProvider: true,
        documentSymbolProvider: true,
        codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix] },
      },
    };
  });

  connection.onDidOpenTextDocument(({ textDocument: { uri, languageId, version, text } }) => {
    documents.set(uri, TextDocument.create(uri, languageId, version, text));
    shop.store.setOpen(uri, text, version);
    refresh(uri);
  });
  connection.onDidChangeTextDocument(({ textDocument: { uri, version }, contentChanges }) => {
    const document = documents.get(uri);
    if (document === undefined) return;
    const changed = TextDocument.update(document, contentChanges, version);
    documents.set(uri, changed);
    shop.store.setOpen(uri, changed.getText(), version);
    const line = lastLineOf(contentChanges);
    if (line !== undefined) typing.set(uri, line);
    refreshSoon(uri);
  });
  connection.onDidSaveTextDocument(({ textDocument: { uri } }) => leaveLine(uri));
  connection.onDidCloseTextDocument(({ textDocument: { uri } }) => {
    clearTimeout(timers.get(uri));
    timers.delete(uri);
    documents.delete(uri);
    typing.delete(uri);
    shop.store.close(uri);
    publisher.clear(uri);
    for (const job of shop.dependents(uri)) if (shop.store.open(job) !== undefined) refresh(job);
  });
  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const uri of new Set(changes.map((change) => change.uri))) {
      shop.store.forget(uri);
      for (const job of shop.dependents(uri)) if (shop.store.open(job) !== undefined) refreshSoon(job);
    }
  });
  connection.onNotification(CARET_NOTIFICATION, ({ uri, line }: { uri: string; line: number }) => {
    const at = typing.get(uri);
    if (at !== undefined && at !== line) leaveLine(uri);
  });

  const { about } = dispatcher;
  connection.onHover(
    about((analysis, { position }) => {
      const { snapshot } = analysis.sheet;
      const found = hover(analysis, offsetAt(snapshot, position));
      return found === undefined ? null : toHover(snapshot, found);
    }),
  );
  connection.languages.inlayHint.on(
    about((analysis, { textDocument: { uri }, range }) =>
      inlays(analysis, range.start.line, range.end.line, typing.get(uri)).map((each) =>
        toInlayHint(analysis.sheet.snapshot, each),
      ),
    ),
  );
  connection.onCompletion(
    about((analysis, { position }) => {
      const { snapshot } = analysis.sheet;
      return completion(analysis, offsetAt(snapshot, position)).map((each) =>
        toCompletionItem(snapshot, each),
      );
    }),
  );
  connection.onDefinition(
    about((analysis, { position }) =>
      definition(analysis, offsetAt(analysis.sheet.snapshot, position)).flatMap(({ file, span }) => {
        const sheet = [analysis.sheet, analysis.chassis].find((each) => each?.uri === file);
        return sheet === undefined ? [] : [{ uri: file, range: toRange(sheet.snapshot, span) }];
      }),
    ),
  );
  connection.onDocumentSymbol(
    about((analysis) => symbols(analysis).map((each) => toDocumentSymbol(analysis.sheet.snapshot, each))),
  );
  connection.onCodeAction(
    about((analysis, { range }) => {
      const { snapshot } = analysis.sheet;
      const span = { start: offsetAt(snapshot, range.start), end: offsetAt(snapshot, range.end) };
      return fixes(analysis, span).map((fix) => toCodeAction(snapshot, fix));
    }),
  );
  connection.onRequest(
    SUMMARY_REQUEST,
    about((analysis, { reader }: SummaryParams) => renderHtml(analysis, { reader })),
  );

  connection.listen();
}

/** The line on which the newest change ends, as the text stands afterwards. */
function lastLineOf(changes: readonly TextDocumentContentChangeEvent[]): number | undefined {
  const last = changes.at(-1);
  if (last === undefined || !('range' in last)) return undefined;
  return last.range.start.line + (last.text.match(/\r\n|\r|\n/g)?.length ?? 0);
}
