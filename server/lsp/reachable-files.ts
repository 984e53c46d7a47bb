/** Owns reaching files wherever they are: on the disk where the server has one, and through the editor where only that has them. */
import type { Connection } from 'vscode-languageserver';
import type { Files } from '../shop/files.ts';
import type { Abilities } from './abilities.ts';
import { LIST_REQUEST, READ_REQUEST } from './protocol.ts';

/** `disk` is undefined in a browser, where everything is asked of the editor. */
export function reachableFiles(
  connection: Pick<Connection, 'sendRequest'>,
  disk: Files | undefined,
  abilities: () => Abilities,
): Files {
  const isOnDisk = (uri: string) => disk !== undefined && /^file:/i.test(uri);
  return {
    read: async (uri) => {
      if (disk !== undefined && isOnDisk(uri)) return disk.read(uri);
      if (!abilities().readsFiles) return undefined;
      const text: unknown = await connection.sendRequest(READ_REQUEST, { uri });
      return typeof text === 'string' ? text : undefined;
    },
    listSheets: async (uri) => {
      if (disk !== undefined && isOnDisk(uri)) return disk.listSheets(uri);
      if (!abilities().readsFiles) return [];
      const uris: unknown = await connection.sendRequest(LIST_REQUEST, { uri });
      return Array.isArray(uris) ? uris.filter((each) => typeof each === 'string').sort() : [];
    },
  };
}
