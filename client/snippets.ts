/**
 * Owns the snippets for the common things of a job: offered where a line of a sheet begins, and by a command anywhere in a sheet. They
 * are no snippets of the editor's own, which would be offered in every Markdown file.
 */
import * as vscode from 'vscode';
import snippets from '../grammar/snippets.json';
import { isSheet, sheetSelector } from './sheets.ts';

interface Snippet {
  readonly name: string;
  readonly prefix: string;
  readonly description: string;
  readonly body: string;
}

const SNIPPETS: readonly Snippet[] = Object.entries(snippets).map(
  ([name, { prefix, description, body }]) => ({
    name,
    prefix,
    description,
    body: body.join('\n'),
  }),
);

/** A word that a line begins with, or nothing yet. */
const AT_LINE_START = /^[ \t]*([a-z-]*)$/i;

export function offerSnippets(): vscode.Disposable {
  return vscode.languages.registerCompletionItemProvider(sheetSelector, {
    provideCompletionItems(document, position) {
      const before = document.lineAt(position).text.slice(0, position.character);
      const word = AT_LINE_START.exec(before)?.[1];
      if (word === undefined || isInHead(document, position.line)) return [];
      const range = new vscode.Range(position.translate(0, -word.length), position);
      return SNIPPETS.map((snippet) => itemOf(snippet, range));
    },
  });
}

/** Whether a line stands in the block between hyphens at the head, where keys are offered and nothing of a job. */
function isInHead(document: vscode.TextDocument, line: number): boolean {
  const isFence = (at: number) => /^(?:\uFEFF)?---[ \t]*$/.test(document.lineAt(at).text);
  if (line === 0 || !isFence(0)) return false;
  for (let at = 1; at < line; at++) if (isFence(at)) return false;
  return true;
}

function itemOf({ name, prefix, description, body }: Snippet, range: vscode.Range): vscode.CompletionItem {
  const item = new vscode.CompletionItem(
    { label: prefix, description: name },
    vscode.CompletionItemKind.Snippet,
  );
  item.insertText = new vscode.SnippetString(body);
  item.detail = description;
  item.documentation = new vscode.MarkdownString().appendCodeblock(plainText(body), 'markdown');
  item.range = range;
  return item;
}

/** Asks which one, and writes it at the caret. */
export async function insertSnippet(): Promise<void> {
  const editor = vscode.window.activeTextEditor;
  if (editor === undefined || !isSheet(editor.document)) {
    void vscode.window.showInformationMessage(
      'Open a sheet (a file whose name ends in .tagstrip.md) to write a snippet into it.',
    );
    return;
  }
  const picked = await vscode.window.showQuickPick(
    SNIPPETS.map((snippet) => ({
      label: snippet.name,
      description: snippet.prefix,
      detail: snippet.description,
      snippet,
    })),
    { title: 'Insert Snippet', placeHolder: 'What comes next in this job?', matchOnDescription: true },
  );
  if (picked !== undefined) await editor.insertSnippet(new vscode.SnippetString(picked.snippet.body));
}

/** The body as it stands when nothing was overtyped. */
function plainText(body: string): string {
  return body.replace(/\$\{\d+:([^}]*)\}/g, '$1').replace(/\$\d+/g, '');
}
