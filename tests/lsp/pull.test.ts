/** Findings for an editor that asks for them: it is answered, asked to ask again when others changed, and never told unasked. */
import { describe, expect, it } from 'vitest';
import {
  CancellationTokenSource,
  type Diagnostic,
  type DocumentDiagnosticReport,
} from 'vscode-languageserver';
import { SHEET } from '../support/check.ts';
import { PULLING, rangeOf, withServer } from '../support/lsp-client.ts';

const HOT = '- V5 6V6GT: a 331, 60 mA\n';
const COOL = '- V5 6V6GT: a 331, 20 mA\n';
const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const HOUSE = 'file:///shop/shop.tagstrip.md';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 322, k 19.4\n- B+: 330 V\n';
const chassis = (ohms: string) =>
  `---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = ${ohms} 5W, V5.k to gnd\n`;

const codes = (report: { kind: string; items?: Diagnostic[] }) => report.items?.map(({ code }) => code);
const idOf = (report: DocumentDiagnosticReport) => report.resultId ?? '';

/** Runs with an editor that asks, which must not have been told anything at the end. */
const pulling: typeof withServer = (work, texts, capabilities = PULLING, more = {}) =>
  withServer(
    async (client, disk) => {
      await work(client, disk);
      expect(await client.rest()).toEqual([]);
    },
    texts,
    capabilities,
    more,
  );

describe('one sheet', () => {
  it('is answered with its findings, and the next time with “unchanged”', () =>
    pulling(async (client) => {
      client.open(HOT);
      const first = await client.pull();
      expect(first).toMatchObject({ kind: 'full', items: [{ code: 'anode-over-dissipation' }] });
      expect(await client.pull(idOf(first))).toEqual({ kind: 'unchanged', resultId: idOf(first) });
      client.change(2, [{ range: rangeOf(HOT, '60'), text: '20' }]);
      expect(await client.pull(idOf(first))).toMatchObject({ kind: 'full', items: [] });
    }));

  it('has the same mark in the server’s next life', async () => {
    const marks: string[] = [];
    for (let life = 0; life < 2; life++)
      await pulling(async (client) => {
        client.open(HOT);
        marks.push(idOf(await client.pull()));
      });
    expect(marks[0]).toBe(marks[1]);
    expect(marks[0]).not.toBe('');
  });

  it('is answered about the newest text, whatever was typed since it was asked about', () =>
    pulling(
      async (client) => {
        client.open(HOT);
        client.change(2, [{ text: COOL }]);
        const answer = client.pull();
        client.change(3, [{ text: HOT }]);
        expect(codes(await answer)).toEqual(['anode-over-dissipation']);
      },
      {},
      PULLING,
      { quiet: 30 },
    ));

  it('is refused as cancelled and not as “nothing found” when the request is taken back', () =>
    pulling(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        const source = new CancellationTokenSource();
        const asked = client.connection
          .sendRequest('textDocument/diagnostic', { textDocument: { uri: SHEET } }, source.token)
          .catch((error: { code: number }) => error.code);
        await client.rest();
        source.cancel();
        await client.rest();
        disk.release();
        expect(await asked).toBe(-32800);
      },
      { [CHASSIS]: chassis('680R') },
    ));

  it('is asked for once more when its chassis sheet changed, on disk or in the editor', () =>
    pulling(
      async (client, disk) => {
        client.open(JOB);
        expect(codes(await client.pull())).not.toContain('anode-over-dissipation');
        const before = client.counts.findingRefreshes;
        disk.texts.set(CHASSIS, chassis('220R'));
        client.changedOnDisk(CHASSIS);
        await client.rest();
        expect(client.counts.findingRefreshes).toBe(before + 1);
        expect(codes(await client.pull())).toContain('anode-over-dissipation');
        client.open(chassis('220R'), { uri: CHASSIS });
        client.change(2, [{ text: chassis('680R') }], CHASSIS);
        await client.rest();
        expect(client.counts.findingRefreshes).toBeGreaterThan(before + 1);
        expect(codes(await client.pull())).not.toContain('anode-over-dissipation');
      },
      { [CHASSIS]: chassis('680R') },
    ));

  it('is asked for once more when the shop sheet changed', () =>
    pulling(async (client, disk) => {
      client.open(HOT);
      await client.pull();
      disk.texts.set(HOUSE, '---\nsheet: shop\nrules:\n  anode-over-dissipation: off\n---\n# The shop\n');
      client.changedOnDisk(HOUSE);
      await client.rest();
      expect(client.counts.findingRefreshes).toBe(1);
      expect(codes(await client.pull())).toEqual([]);
    }));

  it('is not asked for again by a storm of files that nothing rests on', () =>
    pulling(async (client) => {
      client.open(HOT);
      await client.pull();
      client.changedOnDisk(...Array.from({ length: 2000 }, (_, i) => `file:///shop/jobs/${i}.tagstrip.md`));
      await client.rest();
      expect(client.counts.findingRefreshes).toBe(0);
    }));

  it('is asked for once more when the line that was being typed is left', () =>
    pulling(async (client) => {
      client.open('- R17 = 470R\n- R18 = \n');
      client.caret(1);
      await client.pull();
      const at = { line: 1, character: 8 };
      client.change(2, [{ range: { start: at, end: at }, text: '1,500' }]);
      expect(codes(await client.pull())).toEqual([]);
      client.caret(0);
      await client.rest();
      expect(client.counts.findingRefreshes).toBe(1);
      expect(codes(await client.pull())).toEqual(['value-ambiguous']);
    }));

  it('that is not there has no findings', () =>
    pulling(async (client) => {
      expect(await client.pull(undefined, 'file:///nowhere.tagstrip.md')).toEqual({
        kind: 'full',
        items: [],
      });
    }));
});

describe('what is arranged', () => {
  it('is arranged with an editor that lets it be, and not said at the start', () =>
    pulling(async (client) => {
      await client.rest();
      expect(client.capabilities).not.toHaveProperty('diagnosticProvider');
      expect(client.registrations.filter((each) => /diagnostic/.test(each))).toEqual([
        'textDocument/diagnostic {"documentSelector":null,"interFileDependencies":true,"workspaceDiagnostics":false}',
      ]);
    }));

  it('is arranged once where the settings change while the editor takes its time', async () => {
    const settings: { current: unknown } = { current: {} };
    await pulling(
      async (client) => {
        await client.rest();
        const arranged: string[] = [];
        const take: (() => void)[] = [];
        const name = ({ method, registerOptions }: { method: string; registerOptions?: unknown }) =>
          `${method.split('/').at(-1)} ${JSON.stringify(registerOptions ?? 'no more')}`;
        client.connection.onRequest('client/registerCapability', async ({ registrations }) => {
          arranged.push(...registrations.map(name));
          await new Promise<void>((resolve) => take.push(resolve));
          return null;
        });
        client.connection.onRequest('client/unregisterCapability', ({ unregisterations }) => {
          arranged.push(...unregisterations.map(name));
          return null;
        });
        for (const checkWorkspace of ['allSheets', 'openSheets', 'allSheets']) {
          settings.current = { checkWorkspace };
          client.notify('workspace/didChangeConfiguration', { settings: {} });
          await client.rest();
        }
        for (let i = 0; i < 3; i++) {
          take[i]?.();
          await client.rest();
        }
        const options = (all: boolean) =>
          `diagnostic {"documentSelector":null,"interFileDependencies":true,"workspaceDiagnostics":${all}}`;
        const end = 'diagnostic "no more"';
        expect(arranged).toEqual([end, options(true), end, options(false), end, options(true)]);
      },
      {},
      PULLING,
      { settings },
    );
  });

  it('is said at the start to one that does not', () =>
    pulling(
      async (client) => {
        expect(client.capabilities.diagnosticProvider).toMatchObject({ workspaceDiagnostics: true });
        expect(client.registrations).toEqual([]);
        client.open(HOT);
        expect(codes(await client.pull())).toEqual(['anode-over-dissipation']);
      },
      {},
      { textDocument: { diagnostic: {} } },
    ));
});
