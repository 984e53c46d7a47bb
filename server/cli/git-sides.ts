/**
 * Owns what git hands to a program that it shows a sheet with: a temporary file in place of an earlier text. It is read as the
 * sheet it is a text of, so that its chassis and its shop sheet are found where that sheet stands.
 */
import { tmpdir } from 'node:os';
import { basename, dirname, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { diskFiles } from '../shop/disk-files.ts';
import { SHEET_ENDING } from '../shop/files.ts';
import { type Analysis, createShop } from '../shop/shop.ts';

/** The text of a file, analysed as if it stood at a path; undefined where there is no such file. */
export async function analyseTextAt(path: string, file: string): Promise<Analysis | undefined> {
  const text = await diskFiles.read(pathToFileURL(file).href);
  if (text === undefined) return undefined;
  const uri = pathToFileURL(path).href;
  const shop = createShop({ files: diskFiles });
  if (path !== file) shop.store.setOpen(uri, text, 1);
  return shop.analyse(uri);
}

/**
 * Where the sheet stands that a file is a text of. Git runs its programs in the top folder of the work tree and keeps the
 * name of the sheet, not its folder; of several sheets of that name the one with most lines in common is meant.
 */
export async function placeOfText(file: string, folder: string): Promise<string> {
  const name = temporaryNameOf(file);
  if (name === undefined) return file;
  const sheets = await diskFiles.listSheets(pathToFileURL(folder).href);
  const candidates = sheets.filter((uri) => basename(fileURLToPath(uri)) === name);
  const text = (await diskFiles.read(pathToFileURL(file).href)) ?? '';
  const lines = new Set(text.split(/\r\n|\r|\n/));
  let likeliest: { readonly uri: string; readonly inCommon: number } | undefined;
  for (const uri of candidates) {
    const own = candidates.length === 1 ? '' : ((await diskFiles.read(uri)) ?? '');
    const inCommon = new Set(own.split(/\r\n|\r|\n/).filter((line) => lines.has(line))).size;
    if (likeliest === undefined || inCommon > likeliest.inCommon) likeliest = { uri, inCommon };
  }
  // A sheet that is no more stood somewhere in the work tree.
  return likeliest === undefined ? resolve(folder, name) : fileURLToPath(likeliest.uri);
}

/** `/tmp/git-blob-1a2b3c/larch-20.b.tagstrip.md`; older git wrote `/tmp/1a2b3c_larch-20.b.tagstrip.md`. */
function temporaryNameOf(file: string): string | undefined {
  const name = basename(file);
  if (!name.endsWith(SHEET_ENDING)) return undefined;
  const parent = dirname(file);
  if (/^git-blob-/.test(basename(parent))) return name;
  const isInTemporary = `${parent}${sep}`.startsWith(`${resolve(tmpdir())}${sep}`);
  return isInTemporary ? /^[A-Za-z0-9]{6}_(.+)$/.exec(name)?.[1] : undefined;
}
