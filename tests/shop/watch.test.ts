/** A storm of file events, as a change of branch makes one: answered in one update, with the open buffer before its file. */
import { expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { createSheetIndex } from '../../server/shop/sheet-index.ts';
import { createStore } from '../../server/shop/store.ts';

const COUNT = 2000;
const at = (i: number) => `file:///shop/s${String(i).padStart(4, '0')}.tagstrip.md`;

it('2,000 events in one burst, of which some tell wrong, are one update and at most one read each', async () => {
  const texts: Record<string, string> = {};
  for (let i = 0; i < COUNT; i++) texts[at(i)] = `# Before ${i}\n\n- R${i} = 1k\n`;
  const files = memoryFiles(texts);
  const store = createStore(files);
  const index = createSheetIndex({ files, store });
  index.setFolders(['file:///shop']);
  await index.facts();
  const [updates, reads] = [index.updates(), files.reads()];

  // The editor has one open, changed and not saved; the file under it changes with the others.
  const open = at(7);
  store.setOpen(open, '# Being written\n', 4);
  for (let i = 0; i < COUNT; i++) {
    if (i % 4 === 0) delete texts[at(i)];
    else if (i % 4 !== 1) texts[at(i)] = `# After ${i}\n\n- C${i} = 22n\n`;
    // Whatever the kind of an event, it says no more than “look again”: one in four here is about a file that did not change.
    store.forget(at(i));
    if (i % 10 === 0) store.forget(at(i));
  }
  texts[at(COUNT)] = '# New\n';
  store.forget(at(COUNT));

  const facts = await index.facts();
  expect(index.updates() - updates).toBe(1);
  expect(files.reads() - reads).toBeLessThanOrEqual(COUNT);
  expect(facts?.get(open)?.title).toBe('Being written');

  const fresh = createSheetIndex({ files, store });
  fresh.setFolders(['file:///shop']);
  const inOrder = (found: typeof facts) =>
    [...(found?.values() ?? [])].sort((a, b) => (a.key < b.key ? -1 : 1));
  expect(inOrder(facts)).toEqual(inOrder(await fresh.facts()));
  expect(facts?.size).toBe((COUNT * 3) / 4 + 1);

  store.close(open);
  expect((await index.facts())?.get(open)?.title).toBe('After 7');
});
