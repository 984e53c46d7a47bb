/** A folder that is deleted, renamed or put back is one event from the editor, and not one for each sheet in it. */
import { describe, expect, it } from 'vitest';
import type { PublishDiagnosticsParams } from 'vscode-languageserver';
import { type Client, type Disk, withServer } from '../support/lsp-client.ts';

const SHOP = 'file:///shop';
const CHASSIS = `${SHOP}/chassis/larch.tagstrip.md`;
const JOB = `${SHOP}/jobs/1.tagstrip.md`;
const OTHER = `${SHOP}/jobs/2024/old%20jobs/7.tagstrip.md`;
const TEXTS = {
  [CHASSIS]: '---\nsheet: chassis\n---\n# Larch 20\n\n- V5 = 6V6GT\n- R18 = 680R 5W, V5.k to gnd\n',
  [JOB]: '---\nchassis: ../chassis/larch.tagstrip.md\n---\n# Larch, hums\n\n- V5: a 331, g2 262, k 19.4\n',
  [OTHER]: '# Larch, hot\n\n## As found\n\n- V5 6V6GT: a 331, 60 mA\n',
};

/** On the disk all of it, and from the editor one event for the old name and one for the new. */
function rename(client: Client, { texts }: Disk, from: string, to: string | undefined): void {
  for (const [uri, text] of [...texts]) {
    if (!uri.startsWith(`${from}/`)) continue;
    texts.delete(uri);
    if (to !== undefined) texts.set(to + uri.slice(from.length), text);
  }
  const changes = [{ uri: from, type: 3 }, ...(to === undefined ? [] : [{ uri: to, type: 1 }])];
  client.notify('workspace/didChangeWatchedFiles', { changes });
}

const codes = ({ diagnostics }: PublishDiagnosticsParams) => diagnostics.map(({ code }) => code);

describe('the job on a chassis sheet in it', () => {
  it('misses it when the folder is deleted or renamed, and has it again when the name is back', () =>
    withServer(async (client, disk) => {
      client.open(TEXTS[JOB] ?? '', { uri: JOB });
      expect(codes(await client.next())).not.toContain('sheet-missing');
      rename(client, disk, `${SHOP}/chassis`, `${SHOP}/drawings`);
      expect(codes(await client.next())).toContain('sheet-missing');
      rename(client, disk, `${SHOP}/drawings`, `${SHOP}/chassis`);
      expect(codes(await client.next())).not.toContain('sheet-missing');
      rename(client, disk, `${SHOP}/chassis`, undefined);
      expect(codes(await client.next())).toContain('sheet-missing');
    }, TEXTS));
});

describe('the sheets of the workspace', () => {
  const found = async (client: Client) =>
    [
      ...new Set(
        (await client.ask<{ location: { uri: string } }[]>('workspace/symbol', { query: 'larch' })).map(
          ({ location }) => location.uri.slice(SHOP.length),
        ),
      ),
    ].sort();

  it('are those that are there', () =>
    withServer(
      async (client, disk) => {
        expect(await found(client)).toEqual([
          '/chassis/larch.tagstrip.md',
          '/jobs/1.tagstrip.md',
          '/jobs/2024/old%20jobs/7.tagstrip.md',
        ]);
        rename(client, disk, `${SHOP}/jobs`, `${SHOP}/years`);
        await client.rest();
        expect(await found(client)).toEqual([
          '/chassis/larch.tagstrip.md',
          '/years/1.tagstrip.md',
          '/years/2024/old%20jobs/7.tagstrip.md',
        ]);
        rename(client, disk, `${SHOP}/years/2024/old jobs`, undefined);
        rename(client, disk, `${SHOP}/chassis`, undefined);
        await client.rest();
        expect(await found(client)).toEqual(['/years/1.tagstrip.md', '/years/2024/old%20jobs/7.tagstrip.md']);
        rename(client, disk, `${SHOP}/years/2024/old%20jobs`, undefined);
        await client.rest();
        expect(await found(client)).toEqual(['/years/1.tagstrip.md']);
      },
      TEXTS,
      undefined,
      { folder: SHOP },
    ));

  it('are told of under their new names, and no longer under the old', () =>
    withServer(
      async (client, disk) => {
        expect((await client.rest()).map(({ uri, diagnostics }) => [uri, diagnostics.length > 0])).toEqual([
          [OTHER, true],
        ]);
        rename(client, disk, `${SHOP}/jobs`, `${SHOP}/years`);
        const told = (await client.rest()).map(({ uri, diagnostics }) => [uri, diagnostics.length > 0]);
        expect(told.sort()).toEqual([
          [OTHER, false],
          [OTHER.replace('/jobs/', '/years/'), true],
        ]);
      },
      TEXTS,
      undefined,
      { folder: SHOP, settings: { current: { checkWorkspace: 'allSheets' } } },
    ));

  it('are not looked at for what lies in other folders', () =>
    withServer(
      async (client, disk) => {
        client.open(TEXTS[JOB] ?? '', { uri: JOB });
        await found(client);
        await client.rest();
        const before = disk.asked.length;
        const changes = Array.from({ length: 10_000 }, (_, i) => ({
          uri: `${SHOP}/photos/${i % 100}/${i}.jpg`,
          type: 3,
        }));
        client.notify('workspace/didChangeWatchedFiles', { changes });
        expect(await client.rest()).toEqual([]);
        expect(disk.asked.slice(before)).toEqual([]);
      },
      TEXTS,
      undefined,
      { folder: SHOP },
    ));
});
