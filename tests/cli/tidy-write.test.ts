/** What the command writes over a sheet: its own text and no other, and never over signs that it could not read. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, expect, it } from 'vitest';
import { writeTidied } from '../../server/cli/tidy.ts';
import { tagstrip } from '../support/command.ts';

const folder = mkdtempSync(join(tmpdir(), 'tagstrip-write-'));
const file = join(folder, '1.tagstrip.md');
afterAll(() => rmSync(folder, { recursive: true }));

it.each([
  ['tidy', '--write'],
  ['check', '--fix'],
])('%s %s leaves a sheet alone that is not in UTF-8', async (...args) => {
  // As an old editor saved it: the micro sign is one byte, which UTF-8 does not know.
  const bytes = Buffer.from('# Job\n\n- C1 = 22\u00b5F 450V\n- {R18=470R   5W}\n', 'latin1');
  writeFileSync(file, bytes);
  const { code, err } = await tagstrip([...args, '.'], { at: folder });
  expect({ code, err }).toEqual({
    code: 2,
    err: 'tagstrip: cannot write 1.tagstrip.md: it is not in UTF-8, and its signs would be lost; save it as UTF-8 first\n',
  });
  expect(readFileSync(file).equals(bytes)).toBe(true);
});

it('a sheet that was saved since it was read is left alone', async () => {
  writeFileSync(file, 'as saved meanwhile\n');
  const sheet = {
    uri: pathToFileURL(file).href,
    path: '1.tagstrip.md',
    diff: '',
    was: 'as read\n',
    text: 'tidy\n',
  };
  await expect(writeTidied(sheet)).rejects.toThrow('cannot write 1.tagstrip.md: it was changed meanwhile');
  expect(readFileSync(file, 'utf8')).toBe('as saved meanwhile\n');
});

it('a byte-order mark and the line ends stay as they are', async () => {
  writeFileSync(file, '\ufeff# Job\r\n\r\n- {R18=470R   5W}\r\n');
  expect((await tagstrip(['tidy', '--write', '.'], { at: folder })).code).toBe(0);
  expect(readFileSync(file, 'utf8')).toBe('\ufeff# Job\r\n\r\n- {R18 = 470R 5W}\r\n');
});
