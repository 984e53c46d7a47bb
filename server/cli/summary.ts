/** Owns the verb `summary`: the rendered summary of a sheet, or of each of several into a folder. */
import { mkdir, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { SHEET_ENDING } from '../shop/files.ts';
import { renderHtml } from '../summary/html.ts';
import { renderMarkdown } from '../summary/markdown.ts';
import { cannotWrite } from './desk.ts';
import { type Desk, type SheetVerb, Unusable } from './verb.ts';

interface Page {
  readonly path: string;
  readonly text: string;
}

export const summaryVerb: SheetVerb<Page> = {
  name: 'summary',
  formats: ['html', 'md'],
  options: ['for', 'with-readings'],
  does: 'the rendered summary of a job',
  writesItself: true,
  part: ({ analysis, places, call: { reader, withReadings, format } }) => ({
    path: places.path(analysis.sheet.uri),
    text: (format === 'md' ? renderMarkdown : renderHtml)(analysis, { reader, withReadings }),
  }),
  run: async (desk, parts) => {
    const { call, sheets, print } = desk;
    const count = (await sheets()).length;
    if (count > 1 && call.out === undefined)
      throw new Unusable(`summary of ${count} sheets needs --out FOLDER, for one file each`);
    for await (const { path, text } of parts()) {
      if (call.out === undefined) print(text);
      else if (count === 1) await write(text, call.out, desk);
      else await write(text, join(call.out, fileFor(path, desk)), desk, { makesFolders: true });
    }
    return 0;
  },
};

/** The sheet's own path below the folder of `--out`: `jobs/2041.tagstrip.md` → `OUT/jobs/2041.html`. */
function fileFor(path: string, { call }: Desk): string {
  const inside = path
    .split('/')
    .filter((part) => part !== '..' && part !== '')
    .join('/');
  const name = inside.endsWith(SHEET_ENDING) ? inside.slice(0, -SHEET_ENDING.length) : inside;
  return `${name}.${call.format}`;
}

async function write(
  page: string,
  path: string,
  { setting }: Desk,
  { makesFolders = false } = {},
): Promise<void> {
  const full = resolve(setting.folder, path);
  try {
    if (makesFolders) await mkdir(dirname(full), { recursive: true });
    await writeFile(full, page);
  } catch (error) {
    throw cannotWrite(path, error);
  }
}
