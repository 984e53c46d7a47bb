/** Owns the verb `summary`: the rendered summary of a sheet, or of each of several into a folder. */
import { mkdir, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { SHEET_ENDING } from '../shop/files.ts';
import type { Analysis } from '../shop/shop.ts';
import { renderHtml } from '../summary/html.ts';
import { cannotWrite } from './desk.ts';
import { type Call, type Desk, Unusable, type Verb } from './verb.ts';

export const summaryVerb: Verb = {
  name: 'summary',
  formats: ['html'],
  options: ['for'],
  does: 'the rendered summary of a job',
  outIsFolder: true,
  run: async (desk) => {
    const { call, sheets, print, analyses } = desk;
    const count = (await sheets()).length;
    if (count > 1 && call.out === undefined)
      throw new Unusable(`summary of ${count} sheets needs --out FOLDER, for one file each`);
    for await (const { analysis, places } of analyses()) {
      const page = render(analysis, call);
      if (call.out === undefined) print(page);
      else if (count === 1) await write(page, call.out, desk);
      else await write(page, fileFor(places.path(analysis.sheet.uri), desk), desk, { makesFolders: true });
    }
    return 0;
  },
};

function render(analysis: Analysis, { reader }: Call): string {
  return renderHtml(analysis, { reader: reader === 'customer' ? 'customer' : 'bench' });
}

/** The sheet's own path below the folder of `--out`: `jobs/2041.tagstrip.md` → `OUT/jobs/2041.html`. */
function fileFor(path: string, { call }: Desk): string {
  const inside = path
    .split('/')
    .filter((part) => part !== '..' && part !== '')
    .join('/');
  const name = inside.endsWith(SHEET_ENDING) ? inside.slice(0, -SHEET_ENDING.length) : inside;
  return join(call.out ?? '', `${name}.${call.format}`);
}

async function write(
  page: string,
  path: string,
  { streams }: Desk,
  { makesFolders = false } = {},
): Promise<void> {
  const full = resolve(streams.folder, path);
  try {
    if (makesFolders) await mkdir(dirname(full), { recursive: true });
    await writeFile(full, page);
  } catch (error) {
    throw cannotWrite(path, error);
  }
}
