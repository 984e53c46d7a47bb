/** Owns following the texts that the editor has open: opened, changed piece by piece, saved, closed; and where its caret is. */
import type { TextDocumentContentChangeEvent } from 'vscode-languageserver';
import { createSnapshot, type Snapshot } from '../text/snapshot.ts';
import type { Context } from './context.ts';
import type { Findings } from './findings.ts';
import type { Places } from './positions.ts';
import { CARET_NOTIFICATION, type CaretParams } from './protocol.ts';

export function registerSync({ connection, places, shop, told, typing }: Context, findings: Findings): void {
  connection.onDidOpenTextDocument(
    told('opening a sheet', ({ textDocument: { uri, version, text } }) => {
      shop.store.setOpen(uri, text, version);
      typing.forget(uri);
      findings.opened(uri);
    }),
  );
  connection.onDidChangeTextDocument(
    told('a change', ({ textDocument: { uri, version }, contentChanges }) => {
      const before = shop.store.open(uri);
      if (before === undefined) return;
      shop.store.setOpen(before.uri, changeText(places, before, contentChanges), version);
      typing.changed(uri, contentChanges);
      findings.changed(uri);
    }),
  );
  connection.onDidSaveTextDocument(
    told('saving a sheet', ({ textDocument: { uri } }) => {
      if (typing.done(uri)) findings.lineDone(uri);
    }),
  );
  connection.onDidCloseTextDocument(
    told('closing a sheet', ({ textDocument: { uri } }) => {
      typing.forget(uri);
      shop.store.close(uri);
      // Nobody types in it any more: what was kept for its next text would only lie in memory.
      shop.letGo(uri);
      findings.closed(uri);
    }),
  );
  connection.onNotification(
    CARET_NOTIFICATION,
    told('the caret', ({ uri, line }: CaretParams) => {
      if (typing.caretOn(uri, line)) findings.lineDone(uri);
    }),
  );
}

/** The text after the changes, each of which speaks of the text that the one before it left. */
function changeText(
  places: Places,
  before: Snapshot,
  changes: readonly TextDocumentContentChangeEvent[],
): string {
  let at = before;
  for (const change of changes) {
    if (typeof change.text !== 'string') throw new Error('a change without a text');
    let { text } = change;
    if ('range' in change && change.range !== undefined) {
      const { start, end } = places.spanOf(at, change.range);
      text = at.text.slice(0, start) + text + at.text.slice(end);
    }
    at = createSnapshot(at.uri, text, 0, at);
  }
  return at.text;
}
