/** Checking every sheet of the folders: all of them once, then what a change touches, and nothing is kept that is not needed. */
import { describe, expect, it } from 'vitest';
import {
  CancellationTokenSource,
  type WorkspaceDiagnosticReport,
  WorkspaceDiagnosticRequest,
} from 'vscode-languageserver';
import { SHEET } from '../support/check.ts';
import { type Client, PULLING, withServer } from '../support/lsp-client.ts';

const FOLDER = 'file:///shop';
const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const at = (i: number) => `file:///shop/jobs/${i}.tagstrip.md`;
const HOT = '- V5 6V6GT: a 331, 60 mA\n';
const COOL = '- V5 6V6GT: a 331, 20 mA\n';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 262, k 19.4\n';
const chassis = (ohms: string) =>
  `---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = ${ohms} 5W, V5.k to gnd\n`;

const ALL = { folder: FOLDER, settings: { current: { checkWorkspace: 'allSheets' } } };

/** `uri: codes`, for what is told in full. */
const say = ({ items }: WorkspaceDiagnosticReport) =>
  items.flatMap((each) =>
    each.kind === 'full' ? [`${each.uri.slice(FOLDER.length)}: ${each.items.map(({ code }) => code)}`] : [],
  );
const known = ({ items }: WorkspaceDiagnosticReport) =>
  items.flatMap(({ uri, resultId }) => (resultId === undefined ? [] : [{ uri, value: resultId }]));

describe('all sheets of the folder', () => {
  const texts = { [at(1)]: HOT, [at(2)]: COOL, [at(3)]: JOB, [CHASSIS]: chassis('680R') };

  it('are told once, open or not, and then only what changed', () =>
    withServer(
      async (client, disk) => {
        await client.rest();
        expect(client.registrations.filter((each) => /diagnostic/.test(each))).toEqual([
          expect.stringContaining('"workspaceDiagnostics":true'),
        ]);
        const first = await client.pullAll();
        expect(say(first).sort()).toEqual([
          '/chassis/larch.tagstrip.md: ',
          '/jobs/1.tagstrip.md: anode-over-dissipation',
          '/jobs/2.tagstrip.md: ',
          '/jobs/3.tagstrip.md: ',
        ]);
        disk.texts.set(CHASSIS, chassis('220R'));
        const second = client.pullAll(known(first));
        client.changedOnDisk(CHASSIS);
        expect(say(await second)).toEqual(['/jobs/3.tagstrip.md: anode-over-dissipation']);
        disk.texts.delete(at(1));
        disk.texts.set(at(4), HOT);
        client.changedOnDisk(at(1), at(4));
        expect(say(await client.pullAll(known(await second))).sort()).toEqual([
          '/jobs/1.tagstrip.md: ',
          '/jobs/4.tagstrip.md: anode-over-dissipation',
        ]);
      },
      texts,
      PULLING,
      ALL,
    ));

  it('count by their open buffer, and by their file once that is closed', () =>
    withServer(
      async (client) => {
        const first = await client.pullAll();
        const second = client.pullAll(known(first));
        client.open(COOL, { uri: at(1) });
        expect(say(await second)).toEqual(['/jobs/1.tagstrip.md: ']);
        const third = client.pullAll(known(await second));
        client.close(at(1));
        expect(say(await third)).toEqual(['/jobs/1.tagstrip.md: anode-over-dissipation']);
      },
      texts,
      PULLING,
      ALL,
    ));

  it('are waited for while nothing changes, and the wait ends when it is taken back', () =>
    withServer(
      async (client) => {
        const first = await client.pullAll();
        const source = new CancellationTokenSource();
        const asked = client.connection
          .sendRequest('workspace/diagnostic', { previousResultIds: known(first) }, source.token)
          .catch((error: { code: number }) => error.code);
        let isAnswered = false;
        void asked.then(() => {
          isAnswered = true;
        });
        await client.rest();
        expect(isAnswered).toBe(false);
        source.cancel();
        expect(await asked).toBe(-32800);
      },
      texts,
      PULLING,
      ALL,
    ));

  it('are waited for no longer when the server ends', () =>
    withServer(
      async (client) => {
        const first = await client.pullAll();
        const asked = client.pullAll(known(first)).catch((error: { code: number; data: unknown }) => error);
        await client.rest();
        await client.shutdown();
        expect(await asked).toMatchObject({ code: -32802, data: { retriggerRequest: false } });
      },
      texts,
      PULLING,
      ALL,
    ));

  it('are said nothing of any more when the setting is taken back', async () => {
    const settings = { current: ALL.settings.current as unknown };
    await withServer(
      async (client) => {
        const first = await client.pullAll();
        settings.current = {};
        client.notify('workspace/didChangeConfiguration', { settings: null });
        await client.rest();
        expect(client.registrations.at(-1)).toContain('"workspaceDiagnostics":false');
        expect(client.registrations).toContain('not textDocument/diagnostic');
        const after = await client.pullAll(known(first));
        expect(after.items.every((each) => each.kind === 'full' && each.items.length === 0)).toBe(true);
        expect(after.items).toHaveLength(4);
      },
      texts,
      PULLING,
      { folder: FOLDER, settings },
    );
  });

  it('are sent as they are checked where the editor can take them so, with how far the work is', () => {
    const many = Object.fromEntries(Array.from({ length: 300 }, (_, i) => [at(i), `${HOT}\nSheet ${i}.\n`]));
    return withServer(
      async (client) => {
        const parts: WorkspaceDiagnosticReport[] = [];
        client.connection.onProgress(WorkspaceDiagnosticRequest.partialResult, 'parts', (value) => {
          parts.push({ items: value.items });
        });
        const answer = await client.ask<WorkspaceDiagnosticReport>('workspace/diagnostic', {
          previousResultIds: [],
          partialResultToken: 'parts',
        });
        expect(answer.items).toEqual([]);
        expect(parts.length).toBeGreaterThan(1);
        const told = parts.flatMap(({ items }) => items.map(({ uri }) => uri));
        expect(told).toHaveLength(300);
        expect(new Set(told).size).toBe(300);
        expect(client.progress[0]).toBe('begin');
        expect(client.progress.at(-1)).toBe('end');
      },
      many,
      PULLING,
      ALL,
    );
  });

  it('stop being checked when the request is taken back', () => {
    const many = Object.fromEntries(Array.from({ length: 400 }, (_, i) => [at(i), `${HOT}\nSheet ${i}.\n`]));
    return withServer(
      async (client, disk) => {
        let reads = 0;
        const read = disk.texts.get.bind(disk.texts);
        disk.texts.get = (uri) => {
          if (/\/jobs\//.test(uri)) reads++;
          return read(uri);
        };
        const source = new CancellationTokenSource();
        const asked = client.connection
          .sendRequest('workspace/diagnostic', { previousResultIds: [] }, source.token)
          .catch((error: { code: number }) => error.code);
        source.cancel();
        expect(await asked).toBe(-32800);
        expect(reads).toBeLessThan(200);
      },
      many,
      PULLING,
      ALL,
    );
  });
});

describe('an editor whose asking is not arranged', () => {
  it('is answered without a wait when it knows nothing, though there is nothing', () =>
    withServer(
      async (client) => {
        client.open(HOT);
        expect(await client.pullAll()).toEqual({ items: [] });
        expect((await client.pull(undefined, SHEET)).kind).toBe('full');
      },
      {},
      { textDocument: { diagnostic: {} } },
    ));
});

describe('an editor that is told findings and does not ask for them, as Eglot', () => {
  const EGLOT = { workspace: { configuration: true, didChangeWatchedFiles: { dynamicRegistration: true } } };
  /** The next so many messages, in order of the sheets' names; what is told beyond them fails the test at its end. */
  const told = async (client: Client, count: number) => {
    const next: string[] = [];
    while (next.length < count) {
      const { uri, diagnostics } = await client.next();
      next.push(`${uri.slice(FOLDER.length)}: ${diagnostics.map(({ code }) => code)}`);
    }
    return next.sort();
  };
  const texts = { [at(1)]: HOT, [at(2)]: COOL, [at(3)]: JOB, [CHASSIS]: chassis('220R') };

  it('is told those of the sheets that are not open, and then only what changed', () =>
    withServer(
      async (client, disk) => {
        expect(await told(client, 2)).toEqual([
          '/jobs/1.tagstrip.md: anode-over-dissipation',
          '/jobs/3.tagstrip.md: anode-over-dissipation',
        ]);
        disk.texts.set(CHASSIS, chassis('680R'));
        client.changedOnDisk(CHASSIS);
        expect(await told(client, 1)).toEqual(['/jobs/3.tagstrip.md: ']);
        disk.texts.delete(at(1));
        disk.texts.set(at(4), HOT);
        client.changedOnDisk(at(1), at(4));
        expect(await told(client, 2)).toEqual([
          '/jobs/1.tagstrip.md: ',
          '/jobs/4.tagstrip.md: anode-over-dissipation',
        ]);
      },
      texts,
      EGLOT,
      ALL,
    ));

  it('is told of a sheet that rests on the one being typed in', () =>
    withServer(
      async (client) => {
        await told(client, 2);
        client.open(chassis('220R'), { uri: CHASSIS });
        await told(client, 1);
        client.change(2, [{ text: chassis('680R') }], CHASSIS);
        expect(await told(client, 2)).toEqual(['/chassis/larch.tagstrip.md: ', '/jobs/3.tagstrip.md: ']);
      },
      texts,
      EGLOT,
      ALL,
    ));

  it('is told of a sheet as it is in its buffer while that is open, and as on the disk afterwards', () =>
    withServer(
      async (client) => {
        await told(client, 2);
        client.open(COOL, { uri: at(1), version: 5 });
        expect(await client.next()).toEqual({ uri: at(1), version: 5, diagnostics: [] });
        client.close(at(1));
        expect(await told(client, 2)).toEqual([
          '/jobs/1.tagstrip.md: ',
          '/jobs/1.tagstrip.md: anode-over-dissipation',
        ]);
      },
      texts,
      EGLOT,
      ALL,
    ));

  it('has them taken back when its settings no longer ask for them', () => {
    const held = { current: { checkWorkspace: 'allSheets' } as unknown };
    return withServer(
      async (client) => {
        await told(client, 2);
        held.current = null;
        client.notify('workspace/didChangeConfiguration', { settings: {} });
        expect(await told(client, 2)).toEqual(['/jobs/1.tagstrip.md: ', '/jobs/3.tagstrip.md: ']);
      },
      texts,
      EGLOT,
      { folder: FOLDER, settings: held },
    );
  });

  it('is told of no other sheet where the settings do not ask for it', () =>
    withServer(
      async (client) => {
        client.open(HOT);
        expect(await told(client, 1)).toEqual(['/jobs/job.tagstrip.md: anode-over-dissipation']);
      },
      texts,
      EGLOT,
      { folder: FOLDER },
    ));
});
