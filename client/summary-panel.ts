/** Owns the panel beside the editor that shows a sheet's summary and follows it while it is written. It renders nothing itself. */
import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { isSheet } from './sheets.ts';

export type Reader = 'bench' | 'customer';

/** Quiet after the last keystroke before the panel is rendered again, in milliseconds. */
const QUIET = 300;

export class SummaryPanel implements vscode.Disposable {
  #panel: vscode.WebviewPanel | undefined;
  #sheet: vscode.Uri | undefined;
  #reader: Reader = 'bench';
  #timer: ReturnType<typeof setTimeout> | undefined;
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
        this.#sheet = editor.document.uri;
        this.#renderSoon();
      }),
    ];
  }

  async show(reader: Reader): Promise<void> {
    const document = vscode.window.activeTextEditor?.document;
    if (document !== undefined && isSheet(document)) this.#sheet = document.uri;
    if (this.#sheet === undefined) {
      void vscode.window.showInformationMessage(
        'Open a sheet (a file whose name ends in .tagstrip.md) to see its summary.',
      );
      return;
    }
    this.#reader = reader;
    if (this.#panel === undefined) {
      // No script runs in the panel, and it may load nothing: the page is whole in itself.
      this.#panel = vscode.window.createWebviewPanel(
        'tagstrip.summary',
        'Summary',
        { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
        { enableScripts: false, localResourceRoots: [] },
      );
      this.#panel.onDidDispose(() => {
        this.#panel = undefined;
      });
    }
    this.#panel.reveal(undefined, true);
    await this.#render();
  }

  #renderSoon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#render(), QUIET);
  }

  async #render(): Promise<void> {
    const sheet = this.#sheet;
    if (sheet === undefined || this.#panel === undefined) return;
    const client = await this.#server().catch(() => undefined);
    if (client === undefined) return;
    const uri = client.code2ProtocolConverter.asUri(sheet);
    const html = await client
      .sendRequest<string | null>('tagstrip/summary', { textDocument: { uri }, reader: this.#reader })
      .catch(() => null);
    // While it was rendered the panel may have been closed, or another sheet brought to the front.
    if (html === null || this.#panel === undefined || sheet !== this.#sheet) return;
    this.#panel.title = this.#reader === 'bench' ? 'Summary for the bench' : 'Summary for the customer';
    // The same page again would only flicker.
    if (this.#panel.webview.html !== html) this.#panel.webview.html = html;
  }

  dispose(): void {
    clearTimeout(this.#timer);
    this.#panel?.dispose();
    for (const each of this.#subscriptions) each.dispose();
  }
}
