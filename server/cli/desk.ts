/** Owns the desk of a verb on the disk: finds the sheets, analyses them one by one and lets them go, prints to where it was asked. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { diskFiles } from '../shop/disk-files.ts';
import { type Analysis, createShop, sheetsOf } from '../shop/shop.ts';
import type { Sheet } from '../sheet/model.ts';
import type { Places } from './json.ts';
import { type Analysed, type Call, type Desk, type Streams, Unusable } from './verb.ts';

/** Runs the verb at its desk; what it opened is closed, whatever comes. */
export async function runVerb(call: Call, streams: Streams): Promise<number> {
  const file = call.out === undefined || call.verb.outIsFolder === true ? undefined : open(call.out, streams);
  try {
    return await call.verb.run(deskFor(call, streams, file));
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

function deskFor(call: Call, streams: Streams, file: number | undefined): Desk {
  const shop = createShop({ files: diskFiles });
  const sheets = () => findSheets(call.paths, streams);
  async function* analyses(): AsyncGenerator<Analysed> {
    for (const uri of await sheets()) {
      const analysis = await shop.analyse(uri);
      if (analysis === undefined) throw new Unusable(`cannot read ${fileURLToPath(uri)}`);
      yield { analysis, places: placesOf(analysis, streams.folder) };
      // Others rest on chassis, mod and shop sheets; a job stands alone.
      if (analysis.sheet.kind === 'job') shop.store.forget(uri);
    }
  }
  return {
    call,
    streams,
    shop,
    print: (text) => {
      if (file === undefined) streams.out(text);
      else writeSync(file, text);
    },
    sheets,
    analyses,
  };
}

function open(path: string, { folder }: Streams): number {
  try {
    return openSync(resolve(folder, path), 'w');
  } catch (error) {
    throw cannotWrite(path, error);
  }
}

export function cannotWrite(path: string, error: unknown): Unusable {
  return new Unusable(`cannot write ${path}: ${error instanceof Error ? error.message : String(error)}`);
}

/** The sheets in files and folders, each once, in order. */
async function findSheets(paths: readonly string[], { folder }: Streams): Promise<readonly string[]> {
  const uris = new Set<string>();
  for (const path of paths) {
    const full = resolve(folder, path);
    const at = await stat(full).catch(() => undefined);
    if (at === undefined) throw new Unusable(`there is no ${path}`);
    for (const uri of await diskFiles.listSheets(pathToFileURL(full).href)) uris.add(uri);
  }
  if (uris.size === 0) throw new Unusable(`no sheets (*.tagstrip.md) in ${paths.join(', ')}`);
  return [...uris];
}

/** How a sheet's path is shown: relative to the folder that the command runs in, with `/`. */
export function pathOf(uri: string, folder: string): string {
  const path = fileURLToPath(uri);
  return (relative(folder, path) || path).replaceAll('\\', '/');
}

/** Where the places of one analysis are found: its own sheet and those that it rests on. */
export function placesOf(analysis: Analysis, folder: string): Places {
  const sheets = new Map<string, Sheet>(sheetsOf(analysis).map((sheet) => [sheet.uri, sheet]));
  return {
    path: (uri) => pathOf(uri, folder),
    snapshot: (uri) => sheets.get(uri)?.snapshot,
    chassisNamed: (uri) => {
      const sheet = sheets.get(uri);
      const field = sheet?.field('chassis') ?? sheet?.field('follows');
      return field && { file: uri, span: field.span };
    },
  };
}
