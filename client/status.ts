/** Owns the status bar's item: how many findings the sheet in front of one has, in words, and whether it is checked at all. */
import * as vscode from 'vscode';
import { type Counts, sayCounts } from './counts.ts';
import { isSheet } from './sheets.ts';

/** What the server does just now. */
export type ServerState = 'asleep' | 'starting' | 'running' | 'stopped';

/** The source that the server gives as its own. */
const SOURCE = 'tagstrip';

export class CheckStatus implements vscode.Disposable {
  readonly #item: vscode.StatusBarItem;
  readonly #subscriptions: vscode.Disposable[];
  /** Sheets that the running server has answered for: until then, no findings only means none yet. */
  readonly #answered = new Set<string>();
  #server: ServerState = 'asleep';
  #sheet: vscode.TextDocument | undefined;

  constructor() {
    this.#item = vscode.window.createStatusBarItem('findings', vscode.StatusBarAlignment.Left, 1);
    this.#item.name = 'Tagstrip: findings of the sheet';
    this.#subscriptions = [
      vscode.window.onDidChangeActiveTextEditor(() => this.#show()),
      vscode.window.onDidChangeVisibleTextEditors(() => this.#show()),
      vscode.languages.onDidChangeDiagnostics(({ uris }) => {
        const shown = this.#sheet?.uri.toString();
        if (uris.some((uri) => uri.toString() === shown)) this.#show();
      }),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#answered.delete(uri.toString())),
      vscode.workspace.onDidChangeConfiguration((event) => {
        if (event.affectsConfiguration('tagstrip')) this.#show();
      }),
    ];
    this.#show();
  }

  serverIs(state: ServerState): void {
    this.#server = state;
    if (state !== 'running') this.#answered.clear();
    this.#show();
  }

  /** The server has said what it finds in a sheet. */
  answered(uri: vscode.Uri): void {
    const key = uri.toString();
    if (this.#answered.has(key)) return;
    this.#answered.add(key);
    this.#show();
  }

  #show(): void {
    const sheet = this.#findSheet();
    this.#sheet = sheet;
    if (sheet === undefined) {
      this.#item.hide();
      return;
    }
    const { text, tooltip, command } = this.#say(sheet);
    this.#item.text = `$(checklist) ${text}`;
    this.#item.tooltip = tooltip;
    this.#item.command = command;
    this.#item.accessibilityInformation = { label: `${text}. ${tooltip}`, role: 'button' };
    this.#item.show();
  }

  /** The sheet that is written in; beside a panel or a preview, the one last written in while it is still in sight. */
  #findSheet(): vscode.TextDocument | undefined {
    const active = vscode.window.activeTextEditor?.document;
    if (active !== undefined) return isSheet(active) ? active : undefined;
    const last = this.#sheet;
    return vscode.window.visibleTextEditors.some(({ document }) => document === last) ? last : undefined;
  }

  #say(sheet: vscode.TextDocument): { text: string; tooltip: string; command: string } {
    if (this.#server === 'stopped') {
      return {
        text: 'Sheet: not checked',
        tooltip: 'The language server does not run. Starts it again.',
        command: 'tagstrip.restartServer',
      };
    }
    const command = 'workbench.actions.view.problems';
    if (this.#server !== 'running' || !this.#answered.has(sheet.uri.toString())) {
      return { text: 'Sheet: checking …', tooltip: 'Shows the problems list.', command };
    }
    const minimum = vscode.workspace.getConfiguration('tagstrip').get<string>('findings.minimum', 'hint');
    const hidden =
      minimum === 'hint' ? '' : ` Findings below ${minimum} are not shown (tagstrip.findings.minimum).`;
    return {
      text: `Sheet: ${sayCounts(countFindings(sheet.uri))}`,
      tooltip: `Findings of this sheet; no warning never means that an amplifier may be touched.${hidden} Shows the problems list.`,
      command,
    };
  }

  dispose(): void {
    this.#item.dispose();
    for (const each of this.#subscriptions) each.dispose();
  }
}

function countFindings(uri: vscode.Uri): Counts {
  const counts: [number, number, number, number] = [0, 0, 0, 0];
  for (const { severity, source } of vscode.languages.getDiagnostics(uri)) {
    if (source === SOURCE) counts[severity]++;
  }
  return counts;
}
