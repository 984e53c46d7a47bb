/** Owns reading sheets from the disk. The only file of the core that touches the file system. */
import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type Files, isSkippedFolder, SHEET_ENDING } from './files.ts';

export const diskFiles: Files = {
  read: async (uri) => {
    try {
      return await readFile(fileURLToPath(uri), 'utf8');
    } catch {
      return undefined;
    }
  },
  has: async (uri) => {
    try {
      return (await stat(fileURLToPath(uri))).isFile();
    } catch {
      return false;
    }
  },
  listSheets: async (uri) => {
    const found: string[] = [];
    await walk(fileURLToPath(uri), found);
    return found.sort().map((path) => pathToFileURL(path).href);
  },
};

async function walk(path: string, found: string[]): Promise<void> {
  const at = await stat(path).catch(() => undefined);
  if (at?.isFile() === true) {
    found.push(path);
    return;
  }
  if (at?.isDirectory() !== true) return;
  for (const entry of await readdir(path, { withFileTypes: true })) {
    if (entry.isDirectory()) {
      if (!isSkippedFolder(entry.name)) await walk(join(path, entry.name), found);
    } else if (entry.isFile() && entry.name.endsWith(SHEET_ENDING)) {
      found.push(join(path, entry.name));
    }
  }
}
