/** What is known of all sheets at once, and that it is always what a fresh look would find. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { createSheetIndex, type SheetFacts } from '../../server/shop/sheet-index.ts';
import { createStore } from '../../server/shop/store.ts';

const FOLDER = 'file:///shop';
const at = (path: string) => `${FOLDER}/${path}.tagstrip.md`;

function createIndex(texts: Record<string, string>, folders: readonly string[] = [FOLDER]) {
  const files = memoryFiles(texts);
  const store = createStore(files);
  const index = createSheetIndex({ files, store });
  index.setFolders(folders);
  return { files, store, index };
}

async function factsOf({ index }: ReturnType<typeof createIndex>): Promise<readonly SheetFacts[]> {
  const facts = await index.facts();
  if (facts === undefined) throw new Error('cancelled by nobody');
  return [...facts.values()].sort((a, b) => (a.key < b.key ? -1 : 1));
}

describe('what is known of a sheet', () => {
  it('is its kind, title, fields and the sheets that it names', async () => {
    const made = createIndex({
      [at('jobs/7')]:
        '---\njob: 0007\nchassis: ../chassis/larch.b.tagstrip.md\nserial: 0231\nreturned: 2026-03-06\nreturns: 5.tagstrip.md\n---\n# Larch, humming\n\n- R17 = 470R\n',
      [at('chassis/larch.b')]:
        '---\nsheet: chassis\nmodel: Larch 20\nrevision: b\nfollows: larch.a.tagstrip.md\n---\n\n- R1, 2 = 1k\n- D1-D4 = 1N4007\n',
      [at('mods/screens')]:
        `---\nsheet: mod\nname: screens\nwritten-for:\n  - ../chassis/larch.b.tagstrip.md\n  - https://example.org/x.md\n---\n`,
      [at('plain')]: 'Nothing but words.\n',
    });
    const [chassis, job, mod, plain] = await factsOf(made);
    expect(job).toMatchObject({
      kind: 'job',
      title: 'Larch, humming',
      job: '0007',
      serial: '0231',
      isReturned: true,
      chassis: at('chassis/larch.b'),
      returns: at('jobs/5'),
      names: new Map([['R17', 1]]),
    });
    expect(chassis).toMatchObject({ kind: 'chassis', title: 'Larch 20', revision: 'b', isReturned: false });
    expect(chassis?.follows).toBe(at('chassis/larch.a'));
    expect([...(chassis?.names.keys() ?? [])]).toEqual(['R1', 'R2', 'D1', 'D2', 'D3', 'D4']);
    expect(mod).toMatchObject({ kind: 'mod', title: 'screens', writtenFor: [at('chassis/larch.b')] });
    expect(plain?.title).toBe('plain.tagstrip.md');
  });

  it('has the title of a heading behind a long beginning, and none from code', async () => {
    const made = createIndex({
      [at('a')]: '```\n# R1\n```\n\nWords.\n\nMore words.\n\n# Larch *20*\n\n## Work\n',
      [at('b')]: '\uFEFF# Ash\r\n\r\nWords.\r\n',
    });
    expect((await factsOf(made)).map(({ title }) => title)).toEqual(['Larch 20', 'Ash']);
  });

  it('is nothing of folders that hold other people’s files, nor of sheets elsewhere that are not open', async () => {
    const made = createIndex({ [at('a')]: '# A\n', 'file:///else/b.tagstrip.md': '# B\n' });
    await made.index.facts();
    made.store.forget(at('node_modules/x'));
    made.store.forget('file:///else/b.tagstrip.md');
    expect((await factsOf(made)).map(({ title }) => title)).toEqual(['A']);
    made.store.setOpen('file:///else/b.tagstrip.md', '# B, open\n', 1);
    expect((await factsOf(made)).map(({ title }) => title)).toEqual(['B, open', 'A']);
    made.store.close('file:///else/b.tagstrip.md');
    expect((await factsOf(made)).map(({ title }) => title)).toEqual(['A']);
    expect((await made.index.find('file:///else/b.tagstrip.md'))?.title).toBe('B');
  });

  it('is kept under one key however its address is spelled', async () => {
    const made = createIndex({ 'file:///shop/a%20(1).tagstrip.md': '# On disk\n' });
    await made.index.facts();
    made.store.setOpen('file:///shop/a%20%281%29.tagstrip.md', '# Open\n', 1);
    expect((await factsOf(made)).map(({ title, uri }) => [title, uri])).toEqual([
      ['Open', 'file:///shop/a%20%281%29.tagstrip.md'],
    ]);
  });

  it('of a file that is there and cannot be read is only that', async () => {
    const made = createIndex({ [at('a')]: '# A\n', [at('b')]: '# B\n' });
    const { read } = made.files;
    const broken = createSheetIndex({
      files: { ...made.files, read: async (uri) => (uri === at('b') ? undefined : read(uri)) },
      store: made.store,
    });
    broken.setFolders([FOLDER]);
    expect([...((await broken.facts())?.keys() ?? [])]).toEqual([at('a')]);
    expect([...broken.unread()]).toEqual([at('b')]);
  });

  it('comes when it is first asked for, in one update, and is not read again', async () => {
    const { index, files } = createIndex({ [at('a')]: '# A\n', [at('b')]: '# B\n' });
    expect([index.updates(), files.reads()]).toEqual([0, 0]);
    await Promise.all([index.facts(), index.facts()]);
    await index.facts();
    expect([index.updates(), files.reads()]).toEqual([1, 2]);
  });

  it('may be given up on the way, and is complete the next time', async () => {
    const { index } = createIndex(
      Object.fromEntries(Array.from({ length: 40 }, (_, i) => [at(`s${i}`), `# ${i}\n`])),
    );
    let asked = 0;
    expect(await index.facts(() => ++asked > 15)).toBeUndefined();
    expect((await index.facts())?.size).toBe(40);
  });
});

describe('whatever happens to the sheets', () => {
  const path = fc.constantFrom('a', 'jobs/b', 'jobs/c', 'chassis/d', 'node_modules/e');
  const text = fc.constantFrom(
    '# One\n\n{R1 = 1k}\n',
    '---\nchassis: ../chassis/d.tagstrip.md\n---\n# Two\n\n{V1: a 200}, C3\n',
    '---\nsheet: chassis\nmodel: Ash\n---\n- V1 = 12AX7\n',
    '',
  );
  const step = fc.oneof(
    fc.record({ does: fc.constant('write' as const), path, text }),
    fc.record({ does: fc.constant('delete' as const), path }),
    fc.record({ does: fc.constant('open' as const), path, text }),
    fc.record({ does: fc.constant('close' as const), path }),
    /** An event that means nothing. */
    fc.record({ does: fc.constant('rumour' as const), path }),
    fc.record({ does: fc.constant('ask' as const) }),
    fc.record({ does: fc.constant('ask and go on' as const) }),
  );

  it('it is what a fresh look finds', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 30 }), async (steps) => {
        const texts: Record<string, string> = { [at('a')]: '# A\n', [at('chassis/d')]: '# D\n' };
        const made = createIndex(texts);
        const pending: Promise<unknown>[] = [];
        for (const each of steps) {
          if (each.does === 'ask') await made.index.facts();
          else if (each.does === 'ask and go on') pending.push(made.index.facts());
          else {
            const uri = at(each.path);
            if (each.does === 'open') made.store.setOpen(uri, each.text, 1);
            if (each.does === 'close') made.store.close(uri);
            if (each.does === 'write') texts[uri] = each.text;
            if (each.does === 'delete') delete texts[uri];
            // A watcher tells of files, open or not.
            if (each.does === 'write' || each.does === 'delete' || each.does === 'rumour')
              made.store.forget(uri);
          }
        }
        const fresh = createIndex(texts);
        for (const uri of made.store.openUris())
          fresh.store.setOpen(uri, made.store.open(uri)?.text ?? '', 1);
        fresh.index.setFolders([]);
        fresh.index.setFolders([FOLDER]);
        // node_modules is listed by no disk.
        const { listSheets } = fresh.files;
        Object.assign(fresh.files, {
          listSheets: async (uri: string) =>
            (await listSheets(uri)).filter((found) => !found.includes('/node_modules/')),
        });
        await Promise.all(pending);
        expect(await factsOf(made)).toEqual(await factsOf(fresh));
      }),
      { seed: 20260117, numRuns: 150 },
    );
  });
});
