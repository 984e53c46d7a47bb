/**
 * Owns how tests speak with the language server: a real connection over streams in memory, a client that says what an editor
 * would say, and an ending that demands a clean one.
 */
import { PassThrough } from 'node:stream';
import {
  type CodeAction,
  type CompletionItem,
  createConnection,
  createProtocolConnection,
  type Diagnostic,
  type DocumentDiagnosticReport,
  type DocumentSymbol,
  type Hover,
  type InitializeParams,
  type InlayHint,
  type Location,
  Message,
  type Position,
  type PublishDiagnosticsParams,
  type Range,
  StreamMessageReader,
  StreamMessageWriter,
  type TextDocumentContentChangeEvent,
  WorkDoneProgress,
  type WorkspaceDiagnosticReport,
} from 'vscode-languageserver/node';
import { type After, after } from '../../server/lsp/after.ts';
import { startServer } from '../../server/lsp/server.ts';
import type { Files } from '../../server/shop/files.ts';
import { canonicalUri } from '../../server/shop/uris.ts';
import { createSnapshot, positionAt } from '../../server/text/snapshot.ts';
import { SHEET } from './check.ts';

/** What a test may hold back and change while the server runs. */
export interface Disk extends Files {
  readonly texts: Map<string, string>;
  /** What was asked of it, in that order. */
  readonly asked: readonly string[];
  /** Reads of this file wait from now on, until `release`. */
  readonly hold: (uri: string) => void;
  readonly release: () => void;
}

function createDisk(texts: Readonly<Record<string, string>>): Disk {
  const held = new Map(Object.entries(texts));
  let gate: { readonly uri: string; readonly opened: Promise<void> } | undefined;
  let open: () => void = () => {};
  const asked: string[] = [];
  return {
    texts: held,
    asked,
    read: async (uri) => {
      asked.push(uri);
      if (gate?.uri === uri) await gate.opened;
      return held.get(uri);
    },
    listSheets: async (uri) => {
      asked.push(uri);
      return [...held.keys()].filter((each) => canonicalUri(each).startsWith(canonicalUri(uri)));
    },
    hold: (uri) => {
      const opened = new Promise<void>((resolve) => {
        open = resolve;
      });
      gate = { uri, opened };
    },
    release: () => open(),
  };
}

export type Client = Awaited<ReturnType<typeof startClient>>;

/** Runs `work` with a server; afterwards the server must have shut down without a fault logged or a message left unread. */
export async function withServer(
  work: (client: Client, disk: Disk) => Promise<void>,
  texts: Readonly<Record<string, string>> = {},
  capabilities: InitializeParams['capabilities'] = FULL,
  more: Partial<Starting> = {},
): Promise<void> {
  const disk = createDisk(texts);
  const client = await startClient(disk, { capabilities, ...more });
  await work(client, disk);
  await client.stop();
}

interface Starting {
  readonly capabilities: InitializeParams['capabilities'];
  /** The folder that the editor has open. */
  readonly folder: string;
  /** The editor's settings under `tagstrip`; they may be changed while it runs. */
  readonly settings: { current: unknown };
  /** The server has no disk: every file is asked of the editor. */
  readonly isInBrowser: boolean;
  readonly quiet: number;
  /** What the editor says of itself otherwise than an editor does. */
  readonly introduction: Partial<InitializeParams>;
}

/** An editor that asks for findings, and is asked for its settings. */
export const PULLING: InitializeParams['capabilities'] = {
  textDocument: {
    diagnostic: { dynamicRegistration: true },
    publishDiagnostics: { relatedInformation: true },
  },
  window: { workDoneProgress: true },
  workspace: {
    configuration: true,
    didChangeConfiguration: { dynamicRegistration: true },
    diagnostics: { refreshSupport: true },
    inlayHint: { refreshSupport: true },
    didChangeWatchedFiles: { dynamicRegistration: true },
  },
};

const FULL: InitializeParams['capabilities'] = {
  textDocument: { publishDiagnostics: { relatedInformation: true } },
  workspace: {
    inlayHint: { refreshSupport: true },
    workspaceEdit: { documentChanges: true },
    didChangeWatchedFiles: { dynamicRegistration: true },
  },
};

/** A server, and the other end of its connection, over which nothing was said yet. */
export function connectServer(files: Files | undefined, quiet = 0) {
  const [up, down] = [new PassThrough(), new PassThrough()];
  const server = createConnection(new StreamMessageReader(up), new StreamMessageWriter(down));
  /** What the server put off and has not done yet; and how much it has done that may lead to more. */
  let putOff = 0;
  let doings = 0;
  const later: After = (milliseconds, work) => {
    let isDue = true;
    const settle = () => {
      if (isDue) putOff--;
      isDue = false;
    };
    putOff++;
    doings++;
    const takeBack = after(milliseconds, () => {
      settle();
      doings++;
      work();
    });
    return () => {
      settle();
      takeBack();
    };
  };
  startServer(server, files, { version: 'test', quiet, after: later });
  const reader = new StreamMessageReader(down);
  const listen = reader.listen.bind(reader);
  reader.listen = (callback) =>
    listen((message) => {
      // Answers are to what a test asked; whatever else the server says, it says of itself.
      if (!Message.isResponse(message)) doings++;
      callback(message);
    });
  const connection = createProtocolConnection(reader, new StreamMessageWriter(up));
  /**
   * Resolves once the server does nothing of itself any more. Messages keep their order, so a request that no one answers still
   * comes back behind all that was sent before it; if meanwhile the server neither said nor put off anything, it is at rest.
   */
  const settled = async () => {
    for (let before = -1; before !== doings || putOff > 0; ) {
      before = doings;
      await connection.sendRequest('tagstrip/nothing', {}).catch(() => {});
    }
  };
  return { server, connection, settled };
}

async function startClient(
  files: Files,
  {
    capabilities = FULL,
    folder,
    settings = { current: undefined },
    isInBrowser = false,
    quiet = 0,
    introduction = {},
  }: Partial<Starting>,
) {
  const { connection, server, settled } = connectServer(isInBrowser ? undefined : files, quiet);
  const published: PublishDiagnosticsParams[] = [];
  const waiting: ((params: PublishDiagnosticsParams) => void)[] = [];
  const faults: string[] = [];
  const counts = { inlayRefreshes: 0, findingRefreshes: 0 };
  const progress: string[] = [];
  const registrations: string[] = [];
  connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
    const next = waiting.shift();
    if (next === undefined) published.push(params);
    else next(params);
  });
  connection.onNotification('window/logMessage', ({ type, message }: { type: number; message: string }) => {
    if (type === 1) faults.push(message);
  });
  connection.onRequest('workspace/inlayHint/refresh', () => {
    counts.inlayRefreshes++;
    return null;
  });
  connection.onRequest('workspace/diagnostic/refresh', () => {
    counts.findingRefreshes++;
    return null;
  });
  connection.onRequest('workspace/configuration', () => [settings.current]);
  connection.onRequest('window/workDoneProgress/create', ({ token }: { token: string }) => {
    connection.onProgress(WorkDoneProgress.type, token, ({ kind }) => void progress.push(kind));
    return null;
  });
  connection.onRequest('tagstrip/read', async ({ uri }: { uri: string }) => (await files.read(uri)) ?? null);
  connection.onRequest('tagstrip/list', ({ uri }: { uri: string }) => files.listSheets(uri));
  connection.onRequest(
    'client/unregisterCapability',
    ({ unregisterations }: { unregisterations: { method: string }[] }) => {
      for (const { method } of unregisterations) registrations.push(`not ${method}`);
      return null;
    },
  );
  connection.onRequest(
    'client/registerCapability',
    (params: { registrations: { method: string; registerOptions: unknown }[] }) => {
      for (const { method, registerOptions } of params.registrations) {
        registrations.push(`${method} ${JSON.stringify(registerOptions)}`);
      }
      return null;
    },
  );
  connection.listen();
  const initialized = await connection.sendRequest<{ capabilities: Record<string, unknown> }>('initialize', {
    processId: null,
    rootUri: null,
    capabilities,
    initializationOptions: {
      writeCommand: true,
      readsFiles: true,
      ...(capabilities.workspace?.configuration === true ? {} : { settings: settings.current }),
    },
    ...(folder === undefined ? {} : { workspaceFolders: [{ uri: folder, name: 'shop' }] }),
    ...introduction,
  });
  await connection.sendNotification('initialized', {});

  const about = (uri: string) => ({ textDocument: { uri } });
  const notify = (method: string, params: unknown) =>
    void connection.sendNotification(method, params as object);
  const ask = <T>(method: string, params: unknown) => connection.sendRequest<T>(method, params as object);

  let isShutDown = false;
  const client = {
    capabilities: initialized.capabilities,
    connection,
    progress,
    registrations,
    faults,
    counts,
    /** Sends what no well-behaved editor would. */
    notify,
    ask,
    open: (text: string, { uri = SHEET, version = 1 } = {}) =>
      notify('textDocument/didOpen', { textDocument: { uri, languageId: 'markdown', version, text } }),
    close: (uri = SHEET) => notify('textDocument/didClose', about(uri)),
    save: (uri = SHEET) => notify('textDocument/didSave', about(uri)),
    change: (version: number, changes: readonly TextDocumentContentChangeEvent[], uri = SHEET) =>
      notify('textDocument/didChange', { textDocument: { uri, version }, contentChanges: changes }),
    caret: (line: number, uri = SHEET) => notify('tagstrip/caret', { uri, line }),
    changedOnDisk: (...uris: string[]) =>
      notify('workspace/didChangeWatchedFiles', { changes: uris.map((uri) => ({ uri, type: 2 })) }),
    hover: (position: Position, uri = SHEET) =>
      ask<Hover | null>('textDocument/hover', { ...about(uri), position }),
    inlays: (uri = SHEET, range: Range = WHOLE) =>
      ask<InlayHint[]>('textDocument/inlayHint', { ...about(uri), range }),
    completion: (position: Position, uri = SHEET) =>
      ask<CompletionItem[]>('textDocument/completion', { ...about(uri), position }),
    definition: (position: Position, uri = SHEET) =>
      ask<Location[]>('textDocument/definition', { ...about(uri), position }),
    symbols: (uri = SHEET) => ask<DocumentSymbol[]>('textDocument/documentSymbol', about(uri)),
    actions: (range: Range, uri = SHEET, only?: string[]) =>
      ask<CodeAction[]>('textDocument/codeAction', {
        ...about(uri),
        range,
        context: { diagnostics: [], ...(only === undefined ? {} : { only }) },
      }),
    summary: (reader: unknown, uri = SHEET, more: { readonly withReadings?: unknown } = {}) =>
      ask<{ readonly html: string; readonly language: string } | null>('tagstrip/summary', {
        ...about(uri),
        reader,
        ...more,
      }),
    /** Asks for the findings of one sheet. */
    pull: (previousResultId?: string, uri = SHEET) =>
      ask<DocumentDiagnosticReport>('textDocument/diagnostic', {
        ...about(uri),
        ...(previousResultId === undefined ? {} : { previousResultId }),
      }),
    /** Asks for the findings of all sheets. */
    pullAll: (previousResultIds: { uri: string; value: string }[] = []) =>
      ask<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds }),
    /** The next message about findings, whichever sheet it is about. */
    next: (): Promise<PublishDiagnosticsParams> => {
      const [first] = published.splice(0, 1);
      return first === undefined ? new Promise((resolve) => waiting.push(resolve)) : Promise.resolve(first);
    },
    /** Everything published once the server has come to rest. */
    rest: async (): Promise<PublishDiagnosticsParams[]> => {
      await settled();
      return published.splice(0);
    },
    /** Says goodbye, unless that was said. */
    shutdown: async () => {
      if (isShutDown) return;
      isShutDown = true;
      if ((await ask('shutdown', undefined)) !== null) throw new Error('shutdown is answered with null');
    },
    stop: async () => {
      if (waiting.length > 0) throw new Error('a message about findings was awaited and never came');
      const left = await client.rest();
      if (left.length > 0) throw new Error(`not read: ${JSON.stringify(left)}`);
      await client.shutdown();
      if (faults.length > 0) throw new Error(`the server logged faults: ${faults.join('\n')}`);
      connection.dispose();
      server.dispose();
    },
  };
  return client;
}

export const WHOLE: Range = { start: { line: 0, character: 0 }, end: { line: 100_000, character: 0 } };

/** Where a piece of text stands, as an editor says it. */
export function rangeOf(text: string, piece: string): Range {
  const start = text.indexOf(piece);
  if (start < 0) throw new Error(`“${piece}” is not in the text`);
  const snapshot = createSnapshot('', text);
  return { start: positionAt(snapshot, start), end: positionAt(snapshot, start + piece.length) };
}

/** `error anode-over-dissipation "60 mA"`: severity, rule, and the slice of text that the range means. */
export function sayDiagnostics(list: readonly Diagnostic[], text: string): string[] {
  const words = ['', 'error', 'warning', 'info', 'hint'];
  return list.map(({ severity = 0, code, range }) => `${words[severity]} ${code} "${slice(text, range)}"`);
}

/** The slice of text that a range means, counted as an editor counts. */
export function slice(text: string, { start, end }: Range): string {
  const { lineStarts } = createSnapshot('', text);
  const at = ({ line, character }: Position) => (lineStarts[line] ?? text.length) + character;
  return text.slice(at(start), at(end));
}
