/**
 * Owns the two sides of a comparison as the command is given them: a sheet of today, or `a.tagstrip.md@REV` with everything it
 * rests on as it was at that revision. A bare second path beside a revision is the sheet of today.
 */
import { stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Sheet } from '../sheet/model.ts';
import { diskFiles } from '../shop/disk-files.ts';
import { type Analysis, createShop, sheetsOf } from '../shop/shop.ts';
import { pathOf } from './desk.ts';
import { type GitAnswer, openRevision, pathAtRevision, splitRevision } from './git.ts';
import type { Places } from './json.ts';

export interface Sides {
  readonly was: Analysis;
  readonly is: Analysis;
  readonly places: Places;
}

/** Both sides, or why one of them cannot be had: then the call is unusable. */
export async function openSides(paths: readonly string[], folder: string): Promise<GitAnswer<Sides>> {
  const [first, second, ...more] = paths;
  if (first === undefined || second === undefined || more.length > 0)
    return {
      ok: false,
      reason: `compare takes two sheets (a.tagstrip.md b.tagstrip.md, or a.tagstrip.md@REV a.tagstrip.md), not ${paths.length}`,
    };
  const was = await openSide(first, folder);
  if (!was.ok) return was;
  const is = await openSide(second, folder);
  if (!is.ok) return is;
  const sheets = new Map<string, Sheet>(
    [...sheetsOf(was.value), ...sheetsOf(is.value)].map((sheet) => [sheet.uri, sheet]),
  );
  return {
    ok: true,
    value: {
      was: was.value,
      is: is.value,
      places: {
        path: (uri) => pathAtRevision(uri) ?? pathOf(uri, folder),
        snapshot: (uri) => sheets.get(uri)?.snapshot,
        chassisNamed: () => undefined,
      },
    },
  };
}

async function openSide(given: string, folder: string): Promise<GitAnswer<Analysis>> {
  const whole = resolve(folder, given);
  const { path, revision } = splitRevision(whole);
  // A file may really be called so.
  const isFile = async (at: string) => (await stat(at).catch(() => undefined))?.isFile() === true;
  if (revision === undefined || (await isFile(whole))) {
    const analysis = (await isFile(whole))
      ? await createShop({ files: diskFiles }).analyse(pathToFileURL(whole).href)
      : undefined;
    return analysis === undefined
      ? { ok: false, reason: `cannot read ${given}` }
      : { ok: true, value: analysis };
  }
  const files = await openRevision(path, revision);
  if (!files.ok) return files;
  const analysis = await createShop({ files: files.value }).analyse(files.value.uri);
  return analysis === undefined
    ? { ok: false, reason: `there is no ${splitRevision(given).path} at ${revision}` }
    : { ok: true, value: analysis };
}
