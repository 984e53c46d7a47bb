/** Owns the desk of a verb on the disk: finds the sheets, analyses them one by one and lets them go, prints to where it was asked. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { awaitedDiskFiles, listBelow } from '../shop/disk-files.ts';
import { type Analysis, createShop, type Shop, sheetsOf } from '../shop/shop.ts';
import { isPage } from './call-speech.ts';
import type { Places } from './json.ts';
import { partsFromThreads } from './threads.ts';
import {
  type Analysed,
  type Call,
  type Desk,
  type Setting,
  type SheetVerb,
  type Streams,
  Unusable,
  type Verb,
} from './verb.ts';

/** From so many sheets on a second thread earns its start. */
const MANY = 100;

/** Runs the verb at its desk; what it opened is closed, whatever comes. */
export async function runVerb(verb: Verb, call: Call, streams: Streams): Promise<number> {
  const isOwnFile = call.out !== undefined && verb.writesItself !== true;
  const file = isOwnFile ? open(call.out, streams) : undefined;
  try {
    const desk = await deskFor(verb, call, streams, file);
    return verb.part === undefined
      ? await verb.run(desk)
      : await verb.run(desk, () => partsOf(verb, desk, streams));
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

async function deskFor(verb: Verb, asked: Call, streams: Streams, file: number | undefined): Promise<Desk> {
  const shop = createDiskShop();
  const sheets = () => findSheets(asked.paths, streams);
  const call = verb.isOneDocument && isPage(asked) ? await withPage(asked, sheets, shop) : asked;
  const { terminal, folder, version } = streams;
  const setting: Setting = { terminal, folder, version };
  return {
    call,
    setting,
    shop,
    print: (text) => {
      if (file === undefined) streams.out(text);
      else writeSync(file, text);
    },
    sheets,
    analyses: async function* () {
      yield* analysesOf(await sheets(), shop, call, setting);
    },
  };
}

/** All sheets are told in one language, so that what is counted together is called alike. */
async function withPage(call: Call, sheets: Desk['sheets'], shop: Shop): Promise<Call> {
  const [first] = await sheets();
  const page = first === undefined ? undefined : (await shop.analyse(first))?.page;
  return page === undefined ? call : { ...call, page };
}

export function createDiskShop(): Shop {
  return createShop({ files: awaitedDiskFiles, isReadOnce: () => true });
}

/** Each sheet's analysis in turn. */
export async function* analysesOf(
  uris: readonly string[],
  shop: Shop,
  call: Call,
  setting: Setting,
): AsyncGenerator<Analysed> {
  for (const uri of uris) {
    const analysis = await shop.analyse(uri);
    if (analysis === undefined) throw new Unusable(`cannot read ${fileURLToPath(uri)}`);
    yield { analysis, places: placesOf(analysis, setting.folder), call, setting };
    // Others rest on chassis, mod and shop sheets; a job stands alone.
    if (analysis.sheet.kind === 'job') shop.store.release(uri);
  }
}

/** What the verb makes of each sheet, in order: in this thread, or shared out where there are many. */
async function* partsOf<Part>(
  verb: SheetVerb<Part>,
  desk: Desk,
  { script, threadsFrom = MANY }: Streams,
): AsyncGenerator<Part> {
  const uris = await desk.sheets();
  if (script !== undefined && uris.length >= threadsFrom) {
    yield* partsFromThreads<Part>(script, { verb: verb.name, call: desk.call, setting: desk.setting }, uris);
    return;
  }
  for await (const analysed of analysesOf(uris, desk.shop, desk.call, desk.setting))
    yield verb.part(analysed);
}

function open(path: string, { folder }: Setting): number {
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
async function findSheets(paths: readonly string[], { folder }: Setting): Promise<readonly string[]> {
  const uris = new Set<string>();
  for (const path of paths) {
    const full = resolve(folder, path);
    const at = await stat(full).catch(() => undefined);
    if (at === undefined) throw new Unusable(`there is no ${path}`);
    const { sheets, unreadable } = await listBelow(full);
    // To pass it by would look as if nothing in it had been found fault with.
    if (unreadable[0] !== undefined) throw new Unusable(`cannot read the folder ${unreadable[0]}`);
    for (const uri of sheets) uris.add(uri);
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
  const sheets = new Map(sheetsOf(analysis).map((sheet) => [sheet.uri, sheet]));
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
