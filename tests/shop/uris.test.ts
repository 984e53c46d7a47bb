/** One sheet under every spelling of its address, and addresses of sheets that lie on no disk. */
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { resolvePath, shopSheetsAbove } from '../../server/shop/paths.ts';
import { createShop } from '../../server/shop/shop.ts';
import { canonicalUri, fileName, sheetName } from '../../server/shop/uris.ts';

describe('spellings of one address (vscode-languageserver-node#1280)', () => {
  it.each([
    ['file:///C:/shop/a.tagstrip.md', 'file:///c%3A/shop/a.tagstrip.md'],
    ['file:///c:/shop/a.tagstrip.md', 'file:///c%3A/shop/a.tagstrip.md'],
    ['file:///C%3A/shop/a.tagstrip.md', 'file:///c%3a/shop/a.tagstrip.md'],
    ['file:///shop/a%20(2).tagstrip.md', 'file:///shop/a%20%282%29.tagstrip.md'],
    ['file:///shop/%C3%A9.tagstrip.md', 'file:///shop/é.tagstrip.md'],
    ['FILE:///shop/a.tagstrip.md', 'file:///shop/a.tagstrip.md'],
    ['vscode-remote://Bench/a.tagstrip.md', 'vscode-remote://bench/a.tagstrip.md'],
  ])('%s is %s', (one, other) => {
    expect(canonicalUri(one)).toBe(canonicalUri(other));
    expect(canonicalUri(canonicalUri(one))).toBe(canonicalUri(one));
  });

  it.each([
    ['file:///shop/a.tagstrip.md', 'file:///shop/A.tagstrip.md'],
    ['file:///shop/a%2Fb.tagstrip.md', 'file:///shop/a/b.tagstrip.md'],
    ['file:///shop/100%.tagstrip.md', 'file:///shop/100.tagstrip.md'],
    ['vscode-remote://bench/a.tagstrip.md', 'vscode-remote://desk/a.tagstrip.md'],
  ])('%s is not %s', (one, other) => {
    expect(canonicalUri(one)).not.toBe(canonicalUri(other));
  });

  it('is one sheet, open in one and read in another', async () => {
    const job = 'file:///c%3A/shop/jobs/a.tagstrip.md';
    const chassis = 'file:///C:/shop/chassis/c.tagstrip.md';
    const shop = createShop({ files: memoryFiles({}) });
    shop.store.setOpen(job, '---\nchassis: ../chassis/c.tagstrip.md\n---\n# Job\n\n- B+1: 440 V\n', 1);
    shop.store.setOpen(chassis, '---\nsheet: chassis\n---\n\n- C21 = 47uF 450V, B+1 to gnd\n', 1);
    const analysis = await shop.analyse('file:///C:/shop/jobs/a.tagstrip.md');
    expect(analysis?.sheet.uri).toBe(job);
    expect(analysis?.chassis?.uri).toBe(chassis);
    expect(shop.dependents('file:///c:/shop/chassis/c.tagstrip.md')).toEqual([job]);
  });
});

describe('sheets on no disk', () => {
  it.each([
    [
      'vscode-remote://127.0.0.1:8080/ws/jobs/a.tagstrip.md',
      'vscode-remote://127.0.0.1:8080/ws/c.tagstrip.md',
    ],
    ['memfs:/ws/jobs/a.tagstrip.md', 'memfs:/ws/c.tagstrip.md'],
    ['vscode-vfs://github/shop/ws/jobs/a.tagstrip.md', 'vscode-vfs://github/shop/ws/c.tagstrip.md'],
    // Never saved yet: where it will be.
    ['untitled:/ws/jobs/a.tagstrip.md', 'file:///ws/c.tagstrip.md'],
    ['untitled:///ws/jobs/a.tagstrip.md', 'file:///ws/c.tagstrip.md'],
    ['untitled://127.0.0.1:8080/ws/jobs/a.tagstrip.md', 'vscode-remote://127.0.0.1:8080/ws/c.tagstrip.md'],
  ])('%s lies beside %s', (uri, beside) => {
    expect(resolvePath(uri, '../c.tagstrip.md')).toBe(beside);
    expect(shopSheetsAbove(uri)[1]).toBe(beside.replace('c.tagstrip', 'shop.tagstrip'));
  });
});

describe('what people call a file', () => {
  it.each([
    ['file:///shop/mods/bright%20cap.tagstrip.md', 'bright cap.tagstrip.md', 'bright cap'],
    ['file:///shop/chassis/larch-20.b.tagstrip.md', 'larch-20.b.tagstrip.md', 'larch-20.b'],
    ['file:///shop/100%.tagstrip.md', '100%.tagstrip.md', '100%'],
    ['../chassis/Gl%C3%BChw%C3%BCrmchen.tagstrip.md', 'Glühwürmchen.tagstrip.md', 'Glühwürmchen'],
    ['untitled:job.tagstrip.md', 'untitled:job.tagstrip.md', 'untitled:job'],
    ['larch.md', 'larch.md', 'larch'],
  ])('%s', (uri, file, sheet) => {
    expect([fileName(uri), sheetName(uri)]).toEqual([file, sheet]);
  });
});
