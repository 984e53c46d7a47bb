/** Owns the port through which sheets are found and read; the disk, an editor's file system and a test's memory each stand behind it. */

export interface Files {
  /** A file's text without its byte-order mark rules applied: exactly as it is; undefined where there is none or it cannot be read. */
  readonly read: (uri: string) => Promise<string | undefined>;
  /** All sheets (`*.tagstrip.md`) in a folder and below it, sorted; the uri itself where it is a file. */
  readonly listSheets: (uri: string) => Promise<readonly string[]>;
  /** Whether there is a file (a photo, say), without reading it; absent where that cannot be asked. */
  readonly has?: (uri: string) => Promise<boolean>;
}

export const SHEET_ENDING = '.tagstrip.md';

/** Folders that hold no sheets of the user's own. */
const SKIPPED: ReadonlySet<string> = new Set(['node_modules', '.git']);

export function isSkippedFolder(name: string): boolean {
  return SKIPPED.has(name);
}

/** Files held in memory, for tests and for a browser without a disk; counts reads, so that a test can hold it to few. */
export function memoryFiles(
  texts: Readonly<Record<string, string>>,
): Files & { readonly reads: () => number } {
  let reads = 0;
  return {
    read: async (uri) => {
      reads++;
      return Object.hasOwn(texts, uri) ? texts[uri] : undefined;
    },
    listSheets: async (uri) =>
      Object.keys(texts)
        .filter(
          (each) =>
            each.endsWith(SHEET_ENDING) &&
            (each === uri || each.startsWith(uri.endsWith('/') ? uri : `${uri}/`)),
        )
        .sort(),
    has: async (uri) => Object.hasOwn(texts, uri),
    reads: () => reads,
  };
}
