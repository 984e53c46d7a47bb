/**
 * Owns hearing of files that change beside the editor: a storm of events is one change, what an event calls itself is no evidence,
 * an open buffer counts before its file, and a folder that came or went is one event for all that lies in it.
 */
import { DidChangeWatchedFilesNotification, type FileSystemWatcher, WatchKind } from 'vscode-languageserver';
import { SHEET_ENDING } from '../shop/files.ts';
import type { SheetIndex } from '../shop/sheet-index.ts';
import { canonicalUri } from '../shop/uris.ts';
import type { Context } from './context.ts';
import type { Findings } from './findings.ts';
import { createGather, forEachOf, type GatherOptions } from './gather.ts';

/** Nothing says of a name whether it is a folder's, so of the others it is heard whether they came or went, but not that they changed. */
const WATCHERS: FileSystemWatcher[] = [
  { globPattern: `**/*${SHEET_ENDING}` },
  { globPattern: '**/*', kind: WatchKind.Create | WatchKind.Delete },
];

/** Files read at once. */
const MOST_READS = 10;

export interface Watching {
  /** Asks the editor to watch. */
  readonly begin: () => Promise<void>;
  readonly end: () => void;
}

export function registerWatching(
  { abilities, connection, safely, shop, told }: Context,
  findings: Findings,
  options: GatherOptions,
  index: () => SheetIndex,
): Watching {
  const reread = async (uris: readonly string[]) => {
    const sheets = uris.filter((uri) => uri.endsWith(SHEET_ENDING));
    const below = keysBelow(
      uris.filter((uri) => !uri.endsWith(SHEET_ENDING)),
      () => [...shop.known(), ...index().keys()],
    );
    // A folder under another name holds sheets that nobody asked for yet.
    if (below.length > 0) index().relist();
    const changed: string[] = [];
    await forEachOf([...sheets, ...below], MOST_READS, async (uri) => {
      if (await shop.store.reread(uri)) changed.push(uri);
    });
    if (changed.length > 0) findings.changedOnDisk(changed);
  };
  const gather = createGather(options, (uris) => safely('changed files', () => reread(uris)));
  connection.onDidChangeWatchedFiles(
    told('changed files', ({ changes }) => gather.add(changes.map(({ uri }) => uri))),
  );
  return {
    begin: async () => {
      if (!abilities().watches) return;
      await connection.client.register(DidChangeWatchedFilesNotification.type, { watchers: WATCHERS });
    },
    end: gather.dispose,
  };
}

/** Those of the known sheets that lie in one of the folders. A name that is no folder of theirs costs one look in a table. */
function keysBelow(folders: readonly string[], known: () => readonly string[]): readonly string[] {
  if (folders.length === 0) return [];
  const named = new Set(folders.map((uri) => canonicalUri(uri).replace(/\/+$/, '')));
  const isBelow = (key: string) => {
    for (let at = key.lastIndexOf('/'); at > 0; at = key.lastIndexOf('/', at - 1)) {
      if (named.has(key.slice(0, at))) return true;
    }
    return false;
  };
  return [...new Set(known())].filter(isBelow);
}
