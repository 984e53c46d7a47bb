/** Owns reading sheets from the disk. The only file of the core that touches the file system. */
import { readFileSync } from 'node:fs';
import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type Files, isSkippedFolder, SHEET_ENDING } from './files.ts';

export const diskFiles: Files = {
  read: textBy((path) => readFile(path, 'utf8')),
  has: async (uri) => {
    try {
      return (await stat(fileURLToPath(uri))).isFile();
    } catch {
      return false;
    }
  },
  listSheets: async (uri) => (await listBelow(fileURLToPath(uri))).sheets,
};

/** The same for whoever has nothing else to do meanwhile: to be told when a file is there costs more than reading it. */
export const awaitedDiskFiles: Files = { ...diskFiles, read: textBy((path) => readFileSync(path, 'utf8')) };

function textBy(read: (path: string) => string | Promise<string>): Files['read'] {
  return async (uri) => {
    try {
      return await read(fileURLToPath(uri));
    } catch {
      return undefined;
    }
  };
}

export interface Listed {
  /** URIs, sorted. */
  readonly sheets: readonly string[];
  /** Paths of folders that nobody let us look into. */
  readonly unreadable: readonly string[];
}

/** The sheets at a path and below it. A link to a folder is not followed: it may lead anywhere, and round in a ring. */
export async function listBelow(path: string): Promise<Listed> {
  const sheets: string[] = [];
  const unreadable: string[] = [];
  const walk = async (folder: string): Promise<void> => {
    const entries = await readdir(folder, { withFileTypes: true }).catch(() => undefined);
    if (entries === undefined) unreadable.push(folder);
    for (const entry of entries ?? []) {
      const at = join(folder, entry.name);
      if (entry.isDirectory()) {
        if (!isSkippedFolder(entry.name)) await walk(at);
      } else if (entry.isFile() && entry.name.endsWith(SHEET_ENDING)) sheets.push(at);
    }
  };
  const at = await stat(path).catch(() => undefined);
  if (at?.isFile() === true) sheets.push(path);
  else if (at?.isDirectory() === true) await walk(path);
  return { sheets: sheets.sort().map((each) => pathToFileURL(each).href), unreadable };
}
