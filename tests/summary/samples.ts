/** Owns the sample sheets as tests see them: all in memory under one address, analysed as a shop does. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';

const folder = fileURLToPath(new URL('../../samples', import.meta.url));
const ROOT = 'file:///samples/';

const texts: Readonly<Record<string, string>> = Object.fromEntries(
  readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.tagstrip.md'))
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => [ROOT + relative(folder, path).replaceAll('\\', '/'), readFileSync(path, 'utf8')]),
);

const shop = createShop({ files: memoryFiles(texts) });

export const SAMPLES: readonly string[] = Object.keys(texts)
  .map((uri) => uri.slice(ROOT.length))
  .sort();

export function textOfSample(path: string): string {
  const text = texts[ROOT + path];
  if (text === undefined) throw new Error(`no sample ${path}`);
  return text;
}

export async function analyseSample(path: string): Promise<Analysis> {
  const analysis = await shop.analyse(ROOT + path);
  if (analysis === undefined) throw new Error(`no sample ${path}`);
  return analysis;
}
