/** Where the server has no disk, or not that one, it reaches files through the editor, and says the same of them. */
import { describe, expect, it } from 'vitest';
import { PULLING, rangeOf, withServer } from '../support/lsp-client.ts';

const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 262, k 19.4\n';
const LARCH = '---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = 220R 5W, V5.k to gnd\n';

describe.each([
  ['in a browser', 'vscode-remote://127.0.0.1:8080/ws', true],
  ['beside a folder on no disk', 'memfs:/ws', false],
])('%s', (_, folder, isInBrowser) => {
  const job = `${folder}/jobs/a.tagstrip.md`;
  const chassis = `${folder}/chassis/larch.tagstrip.md`;
  const more = { folder, isInBrowser, settings: { current: { checkWorkspace: 'allSheets' } } };

  it('a chassis sheet lies under a job, and is gone to', () =>
    withServer(
      async (client) => {
        client.open(JOB, { uri: job });
        const report = await client.pull(undefined, job);
        expect(report).toMatchObject({ items: [{ code: 'anode-over-dissipation' }] });
        const places = await client.definition(rangeOf(JOB, 'V5').start, job);
        expect(places.map(({ uri }) => uri)).toContain(chassis);
      },
      { [chassis]: LARCH },
      PULLING,
      more,
    ));

  it('all sheets are checked', () =>
    withServer(
      async (client) => {
        const { items } = await client.pullAll();
        expect(items.map(({ uri }) => uri).sort()).toEqual([chassis, job]);
      },
      { [chassis]: LARCH, [job]: JOB },
      PULLING,
      more,
    ));

  it('a sheet that is not there is missing', () =>
    withServer(
      async (client) => {
        client.open(JOB, { uri: job });
        expect(await client.pull(undefined, job)).toMatchObject({ items: [{ code: 'sheet-missing' }] });
      },
      {},
      PULLING,
      more,
    ));
});
