/** A sheet that is not UTF-8 is read without its µ, Ω and ±, and that is said once, where the first of them stood. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, expect, it } from 'vitest';
import { diskFiles } from '../../server/shop/disk-files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { sayFinding } from '../support/check.ts';

const folder = mkdtempSync(join(tmpdir(), 'tagstrip-lost-'));
afterAll(() => rmSync(folder, { recursive: true }));

const NOTE = '# Job\r\n\r\n## Parts\r\n\r\n- C9 = 22µF 450V\r\n- R5 = 100Ω ±5%\r\n';

async function garbledIn(bytes: Uint8Array) {
  const file = join(folder, 'job.tagstrip.md');
  writeFileSync(file, bytes);
  const analysis = await createShop({ files: diskFiles }).analyse(pathToFileURL(file).href);
  if (analysis === undefined) throw new Error('the sheet is not there');
  const { text } = analysis.sheet.snapshot;
  const found = analysis.findings.filter(({ rule }) => rule === 'text-garbled');
  return found.map((each) => ({
    said: sayFinding(each, text),
    line: text.slice(0, each.source.span.start).split('\r\n').length,
    message: each.message,
  }));
}

it('saved in Latin-1 it has one finding, at its first µ', async () => {
  const found = await garbledIn(Buffer.from(NOTE.replace('Ω', ' Ohm'), 'latin1'));
  expect(found).toEqual([
    {
      said: 'warning text-garbled � "�"',
      line: 5,
      message:
        '2 signs of this sheet were, the first of them here, not UTF-8 and cannot be read (�): a prefix, a unit or a tolerance beside a number may be missing. Reopen the file in the encoding that it was written in and save it as UTF-8; where � is still there, type the sign again.',
    },
  ]);
});

it('with one such sign it says one', async () => {
  const found = await garbledIn(Buffer.from('# Job\r\n\r\n- C9 = 22µF\r\n', 'latin1'));
  expect(found.map(({ message }) => message.split(':')[0])).toEqual([
    'One sign of this sheet was not UTF-8 and cannot be read (�)',
  ]);
});

it('saved in UTF-16 it has one finding too', async () => {
  const found = await garbledIn(Buffer.from(`\uFEFF${NOTE}`, 'utf16le'));
  expect(found.map(({ line }) => line)).toEqual([1]);
});

it('saved in UTF-8 it has none', async () => {
  expect(await garbledIn(Buffer.from(NOTE, 'utf8'))).toEqual([]);
});
