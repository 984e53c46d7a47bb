/**
 * Owns the composition of the language server: one connection, one shop, a table of handlers that convert, call and convert
 * back. It holds no analysis of its own and knows neither disk nor browser.
 */
import {
  CodeActionKind,
  type Connection,
  DidChangeWatchedFilesNotification,
  type InitializeResult,
  MarkupKind,
  PositionEncodingKind,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { acceptances } from '../features/acceptances.ts';
import { completion } from '../features/completion.ts';
import { definition } from '../features/definition.ts';
import { connections, fixes } from '../features/fixes.ts';
import { hover } from '../features/hover.ts';
import { inlays } from '../features/inlays.ts';
import { symbols } from '../features/symbols.ts';
import { type Files, SHEET_ENDING } from '../shop/files.ts';
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
import {
  CARET_NOTIFICATION,
  type CaretParams,
  type ClientOptions,
  SUMMARY_REQUEST,
  type SummaryParams,
} from './protocol.ts';
import { createPublisher } from './publish.ts';
import { createTyping } from './typing.ts';

/** Quiet after the last keystroke before findings are computed, in milliseconds. */
const QUIET = 150;

export interface ServerOptions {
  readonly version: string;
  /** Quiet after the last keystroke, in milliseconds; a test shortens it. */
  readonly quiet?: number;
}

export function startServer(connection: Connection, files: Files, options: ServerOptions): void {
  const shop = createShop({ files });
  const { about, safely, told } = createDispatcher(connection, shop);
  const documents = new Map<string, TextDocument>();
  const typing = createTyping();
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const publisher = createPublisher(connection, shop, typing.line);
  const can = {
    refreshInlays: false,
    watch: false,
    hoverMarkdown: false,
    versionedEdits: false,
    write: false,
  };

  const refreshInlays = () => {
    if (can.refreshInlays) safely('inlay values', () => connection.languages.inlayHint.refresh());
  };
  /** Open sheets whose findings rest on this one. */
  const dependents = (uri: string) =>
    shop.dependents(uri).filter((job) => shop.store.open(job) !== undefined);
  const refresh = (uri: string) =>
    safely(`findings of ${uri}`, async () => {
      await publisher.refresh(uri);
      const jobs = dependents(uri);
      for (const job of jobs) await publisher.refresh(job);
      if (jobs.length > 0) refreshInlays();
    });
  const refreshSoon = (uri: string) => {
    clearTimeout(timers.get(uri));
    const later = () => {
      timers.delete(uri);
      refresh(uri);
    };
    timers.set(uri, setTimeout(later, options.quiet ?? QUIET));
  };
  /** The line being typed is done: what was held back for it may be shown. */
  const leaveLine = (uri: string) => {
    refresh(uri);
    refreshInlays();
  };

  connection.onInitialize(({ capabilities, initializationOptions }): InitializeResult => {
    const { workspace, textDocument } = capabilities;
    const client: ClientOptions | undefined = initializationOptions;
    can.write = client?.writeCommand === true;
    can.refreshInlays = workspace?.inlayHint?.refreshSupport === true;
    can.watch = workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
    can.versionedEdits = workspace?.workspaceEdit?.documentChanges === true;
    can.hoverMarkdown = textDocument?.hover?.contentFormat?.includes(MarkupKind.Markdown) ?? true;
    return {
      serverInfo: { name: 'tagstrip', version: options.version },
      capabilities: {
        positionEncoding: PositionEncodingKind.UTF16,
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
  connection.onInitialized(() => {
    if (!can.watch) return;
    const watchers = [{ globPattern: `**/*${SHEET_ENDING}` }];
    safely('watching sheets', async () => {
      await connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
    });
  });
  connection.onShutdown(() => {
    for (const timer of timers.values()) clearTimeout(timer);
    timers.clear();
  });

  connection.onDidOpenTextDocument(
    told('opening a sheet', ({ textDocument: { uri, languageId, version, text } }) => {
      shop.store.setOpen(uri, text, version);
      documents.set(uri, TextDocument.create(uri, languageId, version, text));
      typing.forget(uri);
      refresh(uri);
    }),
  );
  connection.onDidChangeTextDocument(
    told('a change', ({ textDocument: { uri, version }, contentChanges }) => {
      const document = documents.get(uri);
      if (document === undefined) return;
      const changed = TextDocument.update(document, contentChanges, version);
      documents.set(uri, changed);
      shop.store.setOpen(uri, changed.getText(), version);
      typing.changed(uri, contentChanges);
      refreshSoon(uri);
    }),
  );
  connection.onDidSaveTextDocument(
    told('saving a sheet', ({ textDocument: { uri } }) => {
      if (typing.done(uri)) leaveLine(uri);
    }),
  );
  connection.onDidCloseTextDocument(
    told('closing a sheet', ({ textDocument: { uri } }) => {
      clearTimeout(timers.get(uri));
      timers.delete(uri);
      documents.delete(uri);
      typing.forget(uri);
      shop.store.close(uri);
      publisher.clear(uri);
      for (const job of dependents(uri)) refresh(job);
    }),
  );
  connection.onDidChangeWatchedFiles(
    told('changed files', ({ changes }) => {
      for (const uri of new Set(changes.map((change) => change.uri))) {
        // What the editor has open is the editor's; its file is read again when it is closed.
        if (shop.store.open(uri) !== undefined) continue;
        shop.store.forget(uri);
        for (const job of dependents(uri)) {
          refreshSoon(job);
          refreshInlays();
        }
      }
    }),
  );
  connection.onNotification(
    CARET_NOTIFICATION,
    told('the caret', ({ uri, line }: CaretParams) => {
      if (typing.caretOn(uri, line)) leaveLine(uri);
    }),
  );

  connection.onHover(
    about((analysis, { position }) => {
      const { snapshot } = analysis.sheet;
      const found = hover(analysis, offsetAt(snapshot, position));
      const form = { isMarkdown: can.hoverMarkdown, hasWriteCommand: can.write };
      return found === undefined ? null : toHover(snapshot, found, form);
    }),
  );
  connection.languages.inlayHint.on(
    about((analysis, { textDocument: { uri }, range }) =>
      inlays(analysis, range.start.line, range.end.line, typing.line(uri)).map((each) =>
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
    about((analysis, { range, context }) => {
      const isWanted = context.only?.some((kind) => isKind(CodeActionKind.QuickFix, kind)) ?? true;
      if (!isWanted) return [];
      const { snapshot } = analysis.sheet;
      const span = { start: offsetAt(snapshot, range.start), end: offsetAt(snapshot, range.end) };
      const offered = [
        ...fixes(analysis, span),
        ...connections(analysis, span),
        ...acceptances(analysis, span),
      ];
      return offered.map((fix) => toCodeAction(snapshot, fix, can.versionedEdits));
    }),
  );
  connection.onRequest(
    SUMMARY_REQUEST,
    about((analysis, { reader }: SummaryParams) =>
      renderHtml(analysis, { reader: reader === 'customer' ? 'customer' : 'bench' }),
    ),
  );

  connection.listen();
}

/** Whether a kind of action is `wanted` or below it: asking for `quickfix` or for everything wants quick fixes. */
function isKind(kind: string, wanted: string): boolean {
  return wanted === '' || kind === wanted || kind.startsWith(`${wanted}.`);
}
