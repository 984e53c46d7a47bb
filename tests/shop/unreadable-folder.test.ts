/** A folder that cannot be looked into hides its own sheets and no others; the command says so, and does not pass it by. */
import { mkdirSync, mkdtempSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { diskFiles } from '../../server/shop/disk-files.ts';
import { tagstrip } from '../support/command.ts';

const folder = mkdtempSync(join(tmpdir(), 'tagstrip-unreadable-'));
/** Folders in folders whose path is longer than the system takes: no permission stops a test that an administrator runs. */
const DEPTH = 20;
const LONG = 'x'.repeat(250);
const inside = (name: string, deep: number) => join(folder, ...Array.from({ length: deep }, () => name));

beforeAll(() => {
  writeFileSync(join(folder, '2.tagstrip.md'), '# In sight\n');
  // A ring of folders is not gone round in.
  symlinkSync(folder, join(folder, 'round'));
  mkdirSync(inside('x', DEPTH), { recursive: true });
  for (let deep = DEPTH; deep > 0; deep--) renameSync(inside('x', deep), join(inside('x', deep - 1), LONG));
});

afterAll(() => {
  for (let deep = 1; deep <= DEPTH; deep++) renameSync(join(inside('x', deep - 1), LONG), inside('x', deep));
  rmSync(folder, { recursive: true });
});

it('leaves the other sheets in sight of an editor', async () => {
  const found = await diskFiles.listSheets(pathToFileURL(folder).href);
  expect(found).toEqual([pathToFileURL(join(folder, '2.tagstrip.md')).href]);
});

it('is told by the command, as something that the user can mend', async () => {
  const { code, out, err } = await tagstrip(['check', '.'], { at: folder });
  expect({ code, out }).toEqual({ code: 2, out: '' });
  expect(err).toContain(`cannot read the folder ${join(folder, LONG)}`);
});
