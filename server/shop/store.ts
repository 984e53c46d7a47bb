/**
 * Owns which text of a sheet counts: the editor's buffer while it is open, the disk otherwise. Only frozen snapshots leave it.
 * While a sheet is open, changes of its file are not looked at; when it is closed, the file is read again.
 */
import { createSnapshot, type Snapshot } from '../text/snapshot.ts';
import type { Files } from './files.ts';
import { canonicalUri } from './uris.ts';

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
  /** What was read of the file is no longer needed here. It is no other text for that, and nobody is told. */
  readonly release: (uri: string) => void;
  /**
   * The file is said to have changed: reads it again if it was read before, and answers whether its text is another one now, or
   * was never read. Not while the editor owns the text.
   */
  readonly reread: (uri: string) => Promise<boolean>;
  /** Tells of every sheet whose text may be another now: opened, typed in, closed, or said to have changed on disk. */
  readonly listen: (listener: (uri: string) => void) => void;
}

export function createStore(files: Files): Store {
  const opened = new Map<string, Snapshot>();
  const onDisk = new Map<string, Promise<Snapshot | undefined>>();
  const listeners: ((uri: string) => void)[] = [];
  const tell = (uri: string): void => {
    for (const listener of listeners) listener(uri);
  };
  const read = (uri: string): Promise<Snapshot | undefined> => {
    const key = canonicalUri(uri);
    const known = onDisk.get(key);
    if (known !== undefined) return known;
    const reading = files
      .read(uri)
      .then((text) => (text === undefined ? undefined : createSnapshot(uri, text)));
    onDisk.set(key, reading);
    // That a file is not there is remembered too, until `forget` says that it may have come; a failure is not.
    reading.catch(() => {
      if (onDisk.get(key) === reading) onDisk.delete(key);
    });
    return reading;
  };
  return {
    snapshot: async (uri) => opened.get(canonicalUri(uri)) ?? (await read(uri)),
    open: (uri) => opened.get(canonicalUri(uri)),
    openUris: () => [...opened.values()].map(({ uri }) => uri),
    setOpen: (uri, text, version) => {
      const snapshot = createSnapshot(uri, text, version, opened.get(canonicalUri(uri)));
      opened.set(canonicalUri(uri), snapshot);
      onDisk.delete(canonicalUri(uri));
      tell(uri);
      return snapshot;
    },
    close: (uri) => {
      opened.delete(canonicalUri(uri));
      onDisk.delete(canonicalUri(uri));
      tell(uri);
    },
    forget: (uri) => {
      onDisk.delete(canonicalUri(uri));
      tell(uri);
    },
    release: (uri) => onDisk.delete(canonicalUri(uri)),
    reread: async (uri) => {
      const key = canonicalUri(uri);
      if (opened.has(key)) return false;
      tell(uri);
      const known = onDisk.get(key);
      if (known === undefined) return true;
      const before = await known.catch(() => undefined);
      const text = await files.read(uri).catch(() => undefined);
      // Opened or read anew in the meantime: that is newer than what was read here.
      if (opened.has(key)) return false;
      if (onDisk.get(key) !== known) return true;
      if (before?.text === text) return false;
      onDisk.set(key, Promise.resolve(text === undefined ? undefined : createSnapshot(uri, text)));
      return true;
    },
    listen: (listener) => {
      listeners.push(listener);
    },
  };
}
