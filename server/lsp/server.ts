/**
 * Owns the composition of the language server: one connection, one shop, and what each group of handlers is given. It holds no
 * analysis of its own and knows neither disk nor browser.
 */
import {
  type Connection,
  DidChangeConfigurationNotification,
  ErrorCodes,
  type InitializeResult,
  ResponseError,
  type ServerCapabilities,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import type { Files } from '../shop/files.ts';
import { createShop, type Shop } from '../shop/shop.ts';
import { type Abilities, noAbilities, readAbilities } from './abilities.ts';
import { ACTION_KINDS, registerActions } from './actions.ts';
import { type After, after as byTheClock } from './after.ts';
import { createAllSheets } from './all-sheets.ts';
import type { Context } from './context.ts';
import { createDispatcher } from './dispatch.ts';
import { createFindings } from './findings.ts';
import { registerFormatting } from './formatting.ts';
import { registerNavigation } from './navigation.ts';
import { createNearSheets } from './near-sheets.ts';
import { createPlaces } from './positions.ts';
import { registerPull } from './pull.ts';
import { reachableFiles } from './reachable-files.ts';
import { registerReading } from './reading.ts';
import { defaultSettings, readSettings, SECTION, type Settings } from './settings.ts';
import { registerSync } from './sync.ts';
import { LEGEND } from './tokens.ts';
import { createTyping } from './typing.ts';
import { registerWatching } from './watching.ts';
import { registerWriting } from './writing.ts';

/** Quiet after the last keystroke before findings are computed, in milliseconds. */
const QUIET = 150;
/** How long events of changed files are gathered. */
const STORM = { quiet: 100, cap: 500 };

export interface ServerOptions {
  readonly version: string;
  /** Quiet after the last keystroke and after the last event, in milliseconds; a test shortens it. */
  readonly quiet?: number;
  /** A test's own, by which it knows when nothing more is to come. */
  readonly after?: After;
}

/** `disk` is undefined where the server runs without one, in a browser. */
export function startServer(connection: Connection, disk: Files | undefined, options: ServerOptions): void {
  let abilities: Abilities = noAbilities;
  let settings: Settings = defaultSettings;
  let folders: readonly string[] = [];
  let ready = Promise.resolve();
  const files = reachableFiles(connection, disk, () => abilities);
  // A sheet that nobody types in is read again only when its file changes: nothing is kept for that.
  const shop: Shop = createShop({ files, isReadOnce: (uri) => shop.store.open(uri) === undefined });
  const context: Context = {
    ...createDispatcher(connection, shop),
    connection,
    shop,
    files,
    places: createPlaces(() => abilities.encoding),
    typing: createTyping(),
    after: options.after ?? byTheClock,
    abilities: () => abilities,
    settings: () => settings,
    folders: () => folders,
    ready: () => ready,
  };
  const { begin, end, refusal, safely, told } = context;
  const allSheets = createAllSheets(context);
  const findings = createFindings(context, allSheets, options.quiet ?? QUIET);
  const storm = options.quiet === undefined ? STORM : { quiet: options.quiet, cap: options.quiet };
  const sheets = registerNavigation(context);
  const watching = registerWatching(context, findings, { ...storm, after: context.after }, sheets);
  const pull = registerPull(context, allSheets, findings.rest);
  registerSync(context, findings);
  const near = createNearSheets(shop, sheets);
  registerReading(context, near);
  registerActions(context, near);
  registerFormatting(context);
  registerWriting(context, sheets);

  /** An editor that says it can be asked and then refuses is one that cannot: its sheets are checked all the same. */
  const askForSettings = (given: unknown): Promise<unknown> =>
    connection.workspace.getConfiguration(SECTION).catch((error: unknown) => {
      connection.console.warn(`settings: the editor does not say them (${String(error)})`);
      return given;
    });

  /** Asks the editor that can be asked; `told` is what the other kind sent. */
  const loadSettings = async (given: unknown) => {
    const section = abilities.hasConfiguration ? await askForSettings(given) : given;
    const before = JSON.stringify(settings);
    settings = readSettings(section);
    await pull.arrange();
    if (JSON.stringify(settings) !== before) findings.everything();
  };

  connection.onInitialize((params): InitializeResult | ResponseError<never> => {
    if (refusal()?.code !== ErrorCodes.ServerNotInitialized)
      return new ResponseError(ErrorCodes.InvalidRequest, 'the server was initialized before');
    begin();
    abilities = readAbilities(params);
    folders = abilities.folders;
    const diagnosticProvider = pull.provider();
    return {
      serverInfo: { name: 'tagstrip', version: options.version },
      capabilities: {
        ...CAPABILITIES,
        positionEncoding: abilities.encoding,
        ...(diagnosticProvider === undefined ? {} : { diagnosticProvider }),
      },
    };
  });
  connection.onInitialized(
    told('the start', () => {
      void safely('watching sheets', watching.begin);
      const loaded = loadSettings(sectionOf(abilities.settings));
      ready = loaded.catch(() => {});
      void safely('settings', async () => {
        if (abilities.registersConfiguration)
          await connection.client.register(DidChangeConfigurationNotification.type, { section: SECTION });
        await loaded;
      });
      if (abilities.reportsFolders)
        connection.workspace.onDidChangeWorkspaceFolders(
          told('folders', ({ added, removed }) => {
            const gone = new Set(removed.map(({ uri }) => uri));
            folders = [...folders.filter((uri) => !gone.has(uri)), ...added.map(({ uri }) => uri)];
            findings.everything();
          }),
        );
    }),
  );
  connection.onDidChangeConfiguration(
    told('settings', (params) => {
      void safely('settings', () => loadSettings(sectionOf(params?.settings)));
    }),
  );
  connection.onShutdown(() => {
    const refused = refusal();
    if (refused !== undefined) return refused;
    end();
    findings.end();
    watching.end();
    pull.close();
    return undefined;
  });
  // Whatever else is asked for.
  connection.onRequest(
    (method) => refusal() ?? new ResponseError(ErrorCodes.MethodNotFound, `${method} is not known here`),
  );
  connection.listen();
}

const CAPABILITIES: ServerCapabilities = {
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
  hoverProvider: true,
  inlayHintProvider: true,
  completionProvider: { triggerCharacters: ['{', '.', ' ', '=', ':'] },
  signatureHelpProvider: { triggerCharacters: ['=', ':', '>'], retriggerCharacters: [' ', ','] },
  definitionProvider: true,
  declarationProvider: true,
  referencesProvider: true,
  documentHighlightProvider: true,
  workspaceSymbolProvider: true,
  foldingRangeProvider: true,
  documentLinkProvider: {},
  semanticTokensProvider: { legend: LEGEND, full: true, range: true },
  renameProvider: { prepareProvider: true },
  documentSymbolProvider: true,
  codeActionProvider: { codeActionKinds: [...ACTION_KINDS] },
  documentFormattingProvider: true,
  documentRangeFormattingProvider: true,
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
};

/** An editor that sends its settings sends all of them, or ours alone. */
function sectionOf(settings: unknown): unknown {
  if (typeof settings !== 'object' || settings === null || !Object.hasOwn(settings, SECTION)) return settings;
  return (settings as Readonly<Record<string, unknown>>)[SECTION];
}
