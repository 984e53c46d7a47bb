/**
 * Owns hearing of files that change beside the editor: a storm of events is one change, what an event calls itself is no evidence,
 * and an open buffer counts before its file.
 */
import { DidChangeWatchedFilesNotification } from 'vscode-languageserver';
import { SHEET_ENDING } from '../shop/files.ts';
import type { Context } from './context.ts';
import type { Findings } from './findings.ts';
import { createGather, forEachOf, type GatherOptions } from './gather.ts';

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
): Watching {
  const reread = async (uris: readonly string[]) => {
    const changed: string[] = [];
    await forEachOf(uris, MOST_READS, async (uri) => {
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
      const watchers = [{ globPattern: `**/*${SHEET_ENDING}` }];
      await connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
    },
    end: gather.dispose,
  };
}
