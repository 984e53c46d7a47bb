/** Owns the panel beside the editor that shows a sheet's summary and follows it while it is written. It renders nothing itself. */
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type FromPage, panelPage, type Reader, type Shown, type ToPage } from './panel-page.ts';
import { isSheet } from './sheets.ts';

const PANEL_TYPE = 'tagstrip.summary';

/** At most one rendering begins in so many milliseconds, however fast the typing. */
const PAUSE = 250;

const READERS: Readonly<Record<Reader, string>> = {
  bench: 'Summary for the bench',
  customer: 'Summary for the customer',
  label: 'Chassis label',
};

/** The server's answer to `tagstrip/summary`. */
interface Summary {
  readonly html: string;
}

export class SummaryPanel implements vscode.Disposable {
  #panel: vscode.WebviewPanel | undefined;
  #sheet: vscode.Uri | undefined;
  #reader: Reader = 'bench';
  #withReadings = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** Counts renderings, so that an older one that comes late is not shown. */
  #asked = 0;
  readonly #server: () => Promise<BaseLanguageClient>;
  readonly #subscriptions: vscode.Disposable[];

  constructor(server: () => Promise<BaseLanguageClient>) {
    this.#server = server;
    this.#subscriptions = [
      vscode.workspace.onDidChangeTextDocument(({ document }) => {
        // A chassis sheet's edits show on its jobs, so every sheet's do.
        if (this.#panel !== undefined && isSheet(document)) this.#renderSoon();
      }),
      vscode.window.onDidChangeActiveTextEditor((editor) => {
        if (this.#panel === undefined || editor === undefined || !isSheet(editor.document)) return;
        if (this.#sheet?.toString() === editor.document.uri.toString()) return;
        this.#sheet = editor.document.uri;
        void this.#render();
      }),
      vscode.window.registerWebviewPanelSerializer(PANEL_TYPE, {
        deserializeWebviewPanel: async (panel, state) => this.#restore(panel, state),
      }),
    ];
  }

  async show(reader: Reader, withReadings = this.#withReadings): Promise<void> {
    const document = vscode.window.activeTextEditor?.document;
    if (document !== undefined && isSheet(document)) this.#sheet = document.uri;
    if (this.#sheet === undefined) {
      void vscode.window.showInformationMessage(
        'Open a sheet (a file whose name ends in .tagstrip.md) to see its summary.',
      );
      return;
    }
    this.#reader = reader;
    this.#withReadings = withReadings;
    if (this.#panel === undefined) {
      const column = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
      this.#adopt(vscode.window.createWebviewPanel(PANEL_TYPE, READERS[reader], column));
    } else {
      this.#panel.reveal(undefined, true);
      await this.#render();
    }
  }

  /** After the window was loaded anew: the page has kept what was shown. */
  #restore(panel: vscode.WebviewPanel, state: unknown): void {
    const kept = state as Partial<Shown> | undefined;
    if (typeof kept?.sheet !== 'string' || this.#panel !== undefined) {
      panel.dispose();
      return;
    }
    this.#sheet = vscode.Uri.parse(kept.sheet);
    this.#reader = isReader(kept.reader) ? kept.reader : 'bench';
    this.#withReadings = kept.withReadings === true;
    this.#adopt(panel);
  }

  /** Its page asks for the summary once it is there, and again whenever the editor has let go of it meanwhile. */
  #adopt(panel: vscode.WebviewPanel): void {
    this.#panel = panel;
    panel.webview.options = { enableScripts: true, enableForms: true, localResourceRoots: [] };
    panel.webview.onDidReceiveMessage((message: FromPage) => this.#hear(message).catch(sayFault));
    panel.onDidDispose(() => {
      if (this.#panel === panel) this.#panel = undefined;
    });
    panel.webview.html = panelPage(nonce());
  }

  async #hear(message: FromPage): Promise<void> {
    switch (message.kind) {
      case 'ready':
        return this.#render();
      case 'choice':
        if (isReader(message.reader)) this.#reader = message.reader;
        this.#withReadings = message.withReadings === true;
        return this.#render();
      case 'line':
        return this.#goTo(message.line);
      case 'photo':
        return this.#openPhoto(message.path);
    }
  }

  async #goTo(line: number): Promise<void> {
    const sheet = this.#sheet;
    if (sheet === undefined || !Number.isInteger(line) || line < 0) return;
    const target = sheet.toString();
    const open = vscode.window.visibleTextEditors.find((each) => each.document.uri.toString() === target);
    await vscode.window.showTextDocument(sheet, {
      viewColumn: open?.viewColumn ?? vscode.ViewColumn.One,
      selection: new vscode.Range(line, 0, line, 0),
    });
  }

  /** A photograph in the sheet's own folder of the workspace, and no other file. */
  async #openPhoto(path: string): Promise<void> {
    const sheet = this.#sheet;
    if (sheet === undefined || !/^[^:\\]+\.(?:jpe?g|png|webp|gif|heic|avif)$/i.test(path)) return;
    const photo = vscode.Uri.joinPath(sheet, '..', decodeURIComponent(path));
    const [home, place] = [sheet, photo].map((uri) => vscode.workspace.getWorkspaceFolder(uri));
    if (place === undefined || place !== home) return;
    await vscode.commands.executeCommand('vscode.open', photo, vscode.ViewColumn.One);
  }

  #renderSoon(): void {
    this.#timer ??= setTimeout(() => void this.#render(), PAUSE);
  }

  async #render(): Promise<void> {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    const sheet = this.#sheet;
    if (sheet === undefined || this.#panel === undefined) return;
    const number = ++this.#asked;
    const shown = { sheet: sheet.toString(), reader: this.#reader, withReadings: this.#withReadings };
    const client = await this.#server().catch(() => undefined);
    const summary = await client
      ?.sendRequest<Summary | null>('tagstrip/summary', {
        textDocument: { uri: client.code2ProtocolConverter.asUri(sheet) },
        reader: shown.reader,
        withReadings: shown.withReadings,
      })
      .catch(() => undefined);
    // Meanwhile the panel may have been closed, or another summary asked for. Where the text has moved on, its own turn comes.
    if (summary === undefined || this.#panel === undefined || number !== this.#asked) return;
    this.#panel.title = READERS[shown.reader];
    const message: ToPage =
      summary === null
        ? { kind: 'none', why: 'This sheet cannot be read, so there is no summary of it.', shown }
        : { kind: 'summary', html: summary.html, shown };
    await this.#panel.webview.postMessage(message);
  }

  dispose(): void {
    clearTimeout(this.#timer);
    this.#panel?.dispose();
    for (const each of this.#subscriptions) each.dispose();
  }
}

/** What was asked for may be gone meanwhile: a sheet or a photograph that was deleted, a panel that was closed. */
function sayFault(error: unknown): void {
  const why = error instanceof Error ? error.message : String(error);
  void vscode.window.showInformationMessage(`What the summary points to could not be opened: ${why}`);
}

function isReader(value: unknown): value is Reader {
  return typeof value === 'string' && value in READERS;
}

/** Told to the page once: what does not bear it is not run. */
function nonce(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');
}
