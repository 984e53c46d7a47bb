/**
 * Owns which text of a sheet counts: the editor's buffer while it is open, the disk otherwise. Only frozen snapshots leave it.
 * While a sheet is open, changes of its file are not looked at; when it is closed, the file is read again.
 */
import { createSnapshot, type Snapshot } from '../text/snapshot.ts';
import type { Files } from './files.ts';

export interface Store {
  /** The snapshot that counts now; undefined where the sheet does not exist. */
  readonly snapshot: (uri: string) => Promise<Snapshot | undefined>;
  /** The open buffer's snapshot, at once; undefined where the sheet is not open. */
  readonly open: (uri: string) => Snapshot | undefined;
  readonly openUris: () => readonly string[];
  /** The editor opened or changed a sheet. */
  readonly setOpen: (uri: string, text: string, version: number) => Snapshot;
  readonly close: (uri: string) => void;
  /** The file may have changed on disk: forget what was read, unless the editor owns the text. */
  readonly forget: (uri: string) => void;
}

export function createStore(files: Files): Store {
  const opened = new Map<string, Snapshot>();
  const onDisk = new Map<string, Promise<Snapshot | undefined>>();
  const read = (uri: string): Promise<Snapshot | undefined> => {
    const known = onDisk.get(uri);
    if (known !== undefined) return known;
    const reading = files
      .read(uri)
      .then((text) => (text === undefined ? undefined : createSnapshot(uri, text)));
    onDisk.set(uri, reading);
    // That a file is not there is remembered too, until `forget` says that it may have come; a failure is not.
    reading.catch(() => onDisk.delete(uri));
    return reading;
  };
  return {
    snapshot: async (uri) => opened.get(uri) ?? (await read(uri)),
    open: (uri) => opened.get(uri),
    openUris: () => [...opened.keys()],
    setOpen: (uri, text, version) => {
      const snapshot = createSnapshot(uri, text, version);
      opened.set(uri, snapshot);
      onDisk.delete(uri);
      return snapshot;
    },
    close: (uri) => {
      opened.delete(uri);
      onDisk.delete(uri);
    },
    forget: (uri) => onDisk.delete(uri),
  };
}
