/**
 * Owns the verb `changes`: what changed between two texts of one sheet, a line for each change. It takes two sheets (or one at
 * a revision), or what git gives to the program of `diff.<driver>.command`.
 */
import { resolve } from 'node:path';
import { changesBetween } from '../shop/fact-changes.ts';
import type { Analysis } from '../shop/shop.ts';
import { openSides } from './compare-sides.ts';
import { analyseTextAt } from './git-sides.ts';
import { plain } from './terminal.ts';
import { type Call, type Setting, type ShopVerb, Unusable } from './verb.ts';

export const changesVerb: ShopVerb = {
  name: 'changes',
  formats: ['text'],
  options: [],
  does: 'what changed in a sheet, a line for each change (a.tagstrip.md@REV a.tagstrip.md, or as a diff program of git)',
  run: async ({ call, setting, print }) => {
    const { title, note, was, is } = await sidesOf(call, setting);
    const changes = changesBetween(was, is).map(({ line }) => line);
    const lines = changes.length > 0 ? changes : [note ?? 'says the same; only how it is written changed'];
    print(
      [title, ...lines.map((line) => `  ${line}`)]
        .map((line) => `${plain(line)}\n`)
        .join('')
        .replaceAll('\u00a0', ' '),
    );
    return 0;
  },
};

interface TwoTexts {
  readonly title: string;
  /** What is said in place of changes. */
  readonly note?: string;
  readonly was?: Analysis;
  readonly is?: Analysis;
}

/** What git gives: path, old file, its hash and mode, new file, its hash and mode; of a renamed sheet the new path besides. */
const GIT_GIVES = [7, 8, 9];

async function sidesOf({ paths }: Call, { folder }: Setting): Promise<TwoTexts> {
  // Of a sheet whose merge is undecided git gives the path alone.
  if (paths.length === 1 && process.env.GIT_DIFF_PATH_COUNTER !== undefined)
    return { title: `tagstrip ${paths[0] ?? ''}`, note: 'a merge is undecided: tagstrip check says where' };
  if (paths.length === 2) {
    const sides = await openSides(paths, folder);
    if (!sides.ok) throw new Unusable(sides.reason);
    return { title: `tagstrip ${paths.join(' ')}`, was: sides.value.was, is: sides.value.is };
  }
  const [path, oldFile, , , newFile, , , newPath] = paths;
  if (
    !GIT_GIVES.includes(paths.length) ||
    path === undefined ||
    oldFile === undefined ||
    newFile === undefined
  )
    throw new Unusable(
      `changes takes two sheets (a.tagstrip.md b.tagstrip.md, or a.tagstrip.md@REV a.tagstrip.md), or what git gives to a diff program; not ${paths.length}`,
    );
  const side = async (at: string, file: string): Promise<Analysis | undefined> => {
    if (file === '/dev/null' || file === 'nul') return undefined;
    const analysis = await analyseTextAt(resolve(folder, at), resolve(folder, file));
    if (analysis === undefined) throw new Unusable(`cannot read ${file}`);
    return analysis;
  };
  const was = await side(path, oldFile);
  const is = await side(newPath ?? path, newFile);
  const how = was === undefined ? ' (new)' : is === undefined ? ' (removed)' : '';
  return {
    title: `tagstrip ${path}${newPath === undefined || newPath === path ? '' : ` → ${newPath}`}${how}`,
    ...(was && { was }),
    ...(is && { is }),
  };
}
