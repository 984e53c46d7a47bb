/** The editor's settings: read when the server starts, and another as soon as they are another. */
import { describe, expect, it } from 'vitest';
import { defaultSettings, readSettings } from '../../server/lsp/settings.ts';
import { PULLING, sayDiagnostics, withServer } from '../support/lsp-client.ts';

const TEXT = '- V5 6V6GT: a 331, 60 mA\n- R17 = 1,500\n';
const CHANGED = 'workspace/didChangeConfiguration';

describe('the section', () => {
  it.each<[unknown, object]>([
    [undefined, {}],
    [null, {}],
    ['loud', {}],
    [{ findings: 7 }, {}],
    [{ findings: { minimum: 'loud' }, inlayValues: 'no', checkWorkspace: true }, {}],
    [{ findings: { minimum: 'warning' } }, { minimum: 'warning' }],
    [{ 'findings.minimum': 'error' }, { minimum: 'error' }],
    [{ inlayValues: false }, { inlayValues: false }],
    [{ checkWorkspace: 'allSheets' }, { checksAllSheets: true }],
  ])('%j', (given, settings) => {
    expect(readSettings(given)).toEqual({ ...defaultSettings, ...settings });
  });
});

describe('an editor that is asked for its settings', () => {
  const settings = (current: unknown) => ({ settings: { current } });

  it('has them from the start', () =>
    withServer(
      async (client) => {
        client.open(TEXT);
        await client.rest();
        const report = await client.pull();
        expect(sayDiagnostics(report.kind === 'full' ? report.items : [], TEXT)).toEqual([
          'error anode-over-dissipation "60 mA"',
        ]);
        expect(await client.inlays()).toEqual([]);
      },
      {},
      PULLING,
      settings({ inlayValues: false, findings: { minimum: 'error' } }),
    ));

  it('sees a change at once, in findings and in values (biome#11276)', async () => {
    const held = { current: {} as unknown };
    await withServer(
      async (client) => {
        client.open(TEXT);
        await client.rest();
        expect(await client.inlays()).toHaveLength(1);
        const before = await client.pull();
        expect(before).toMatchObject({
          items: [{ code: 'anode-over-dissipation' }, { code: 'value-ambiguous' }],
        });
        const { findingRefreshes, inlayRefreshes } = client.counts;
        held.current = { inlayValues: false, findings: { minimum: 'error' } };
        client.notify(CHANGED, { settings: null });
        await client.rest();
        expect(client.counts.findingRefreshes).toBe(findingRefreshes + 1);
        expect(client.counts.inlayRefreshes).toBe(inlayRefreshes + 1);
        expect(await client.inlays()).toEqual([]);
        expect(await client.pull(before.resultId)).toMatchObject({
          items: [{ code: 'anode-over-dissipation' }],
        });
        client.notify(CHANGED, { settings: null });
        await client.rest();
        // The same settings again are no change.
        expect(client.counts.findingRefreshes).toBe(findingRefreshes + 1);
      },
      {},
      PULLING,
      { settings: held },
    );
  });

  it('asks to be told of changes', () =>
    withServer(
      async (client) => {
        await client.rest();
        expect(client.registrations).toContain('workspace/didChangeConfiguration {"section":"tagstrip"}');
      },
      {},
      PULLING,
    ));
});

describe('an editor that only tells its settings', () => {
  it('is told the findings anew under the new ones', () =>
    withServer(async (client) => {
      client.open(TEXT);
      expect(sayDiagnostics((await client.next()).diagnostics, TEXT)).toHaveLength(2);
      client.notify(CHANGED, { settings: { tagstrip: { findings: { minimum: 'error' } } } });
      expect(sayDiagnostics((await client.next()).diagnostics, TEXT)).toEqual([
        'error anode-over-dissipation "60 mA"',
      ]);
      client.notify(CHANGED, { settings: { tagstrip: {} } });
      expect(sayDiagnostics((await client.next()).diagnostics, TEXT)).toHaveLength(2);
    }));

  it.each<[string, unknown]>([
    ['ours alone', { findings: { minimum: 'error' } }],
    ['under their name', { tagstrip: { findings: { minimum: 'error' } } }],
  ])('may give them with the start: %s', (_, current) =>
    withServer(
      async (client) => {
        client.open(TEXT);
        const told = [await client.next(), ...(await client.rest())].at(-1);
        expect(sayDiagnostics(told?.diagnostics ?? [], TEXT)).toHaveLength(1);
      },
      {},
      undefined,
      { settings: { current } },
    ),
  );
});
