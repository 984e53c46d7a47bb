/** The store and the shop: whose text counts, what is kept, and chassis sheets that are missing, circular or come later. */
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { resolvePath } from '../../server/shop/paths.ts';
import { createShop } from '../../server/shop/shop.ts';
import { findingsOf } from '../support/check.ts';

const job = 'file:///shop/jobs/a.tagstrip.md';
const chassis = 'file:///shop/chassis/c.tagstrip.md';
const JOB = '---\nchassis: ../chassis/c.tagstrip.md\n---\n# Job\n\n## As found\n\n- B+1: 440 V\n';
const CHASSIS = '---\nsheet: chassis\n---\n# Chassis\n\n- C21 = 47uF 450V electrolytic, B+1 to gnd\n';

describe('the store', () => {
  it('answers about the buffer while it is open, and about the disk after it is closed', async () => {
    const shop = createShop({ files: memoryFiles({ [job]: '# On disk\n' }) });
    expect((await shop.analyse(job))?.sheet.title).toBe('On disk');
    shop.store.setOpen(job, '# In the editor\n', 1);
    shop.store.forget(job);
    expect((await shop.analyse(job))?.sheet.title).toBe('In the editor');
    shop.store.close(job);
    expect((await shop.analyse(job))?.sheet.title).toBe('On disk');
  });

  it('is not misled by a version that starts again', async () => {
    const shop = createShop({ files: memoryFiles({}) });
    shop.store.setOpen(job, '# First\n', 1);
    expect((await shop.analyse(job))?.sheet.title).toBe('First');
    shop.store.close(job);
    expect(await shop.analyse(job)).toBeUndefined();
    shop.store.setOpen(job, '# Second\n', 1);
    expect((await shop.analyse(job))?.sheet.title).toBe('Second');
  });

  it('keeps an analysis while nothing under it changed', async () => {
    const shop = createShop({ files: memoryFiles({ [job]: JOB, [chassis]: CHASSIS }) });
    const first = await shop.analyse(job);
    expect(await shop.analyse(job)).toBe(first);
    shop.store.setOpen(chassis, CHASSIS.replace('450V', '500V'), 1);
    expect(await shop.analyse(job)).not.toBe(first);
  });
});

describe('the chassis sheet', () => {
  const say = async (files: Readonly<Record<string, string>>) =>
    (await createShop({ files: memoryFiles(files) }).analyse(job))?.findings.map(
      ({ rule, subject }) => `${rule} ${subject}`,
    );

  it('lies under the job', async () => {
    expect(await say({ [job]: JOB, [chassis]: CHASSIS })).toEqual(['over-voltage C21']);
  });
  it('that is missing is one finding', async () => {
    expect(await say({ [job]: JOB })).toEqual(['sheet-missing ../chassis/c.tagstrip.md']);
  });
  it('that is the sheet itself is one finding', async () => {
    expect(await say({ [job]: JOB.replace('../chassis/c', './a') })).toEqual([
      'sheet-missing ./a.tagstrip.md',
    ]);
  });
  it('that names the job back goes round once', async () => {
    const back = `---\nchassis: ../jobs/a.tagstrip.md\n---\n${CHASSIS.split('---\n')[2]}`;
    expect(await say({ [job]: JOB, [chassis]: back })).toEqual(['over-voltage C21']);
  });
  it('that is a web address is not fetched', async () => {
    const lines = await findingsOf('---\nchassis: https://example.org/c.tagstrip.md\n---\n# Job\n');
    expect(lines).toEqual([expect.stringContaining('sheet-missing https://example.org/c.tagstrip.md')]);
  });
  it('that comes later is found when the editor says so', async () => {
    const texts: Record<string, string> = { [job]: JOB };
    const shop = createShop({ files: memoryFiles(texts) });
    await shop.analyse(job);
    expect(shop.dependents(chassis)).toEqual([job]);
    texts[chassis] = CHASSIS;
    shop.store.forget(chassis);
    expect((await shop.analyse(job))?.findings.map(({ rule }) => rule)).toEqual(['over-voltage']);
  });
});

describe('paths', () => {
  it.each([
    ['../chassis/x.tagstrip.md', 'file:///shop/chassis/x.tagstrip.md'],
    ['x y #2 100%.tagstrip.md', 'file:///shop/jobs/x%20y%20%232%20100%25.tagstrip.md'],
    ['..\\chassis\\x.tagstrip.md', 'file:///shop/chassis/x.tagstrip.md'],
    ['https://example.org/x', undefined],
    ['//example.org/x', undefined],
    ['javascript:alert(1)', undefined],
    ['', undefined],
  ])('%j', (path, uri) => {
    expect(resolvePath(job, path)).toBe(uri);
  });
});
