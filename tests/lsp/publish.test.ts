/** Findings reach the editor when they should, with the version they belong to, and are taken back when a sheet goes. */
import { describe, expect, it } from 'vitest';
import { toDiagnostic } from '../../server/lsp/convert.ts';
import { createPlaces } from '../../server/lsp/positions.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { SHEET } from '../support/check.ts';
import { type Client, rangeOf, sayDiagnostics, withServer } from '../support/lsp-client.ts';

const HOT = '- V5 6V6GT: a 331, 60 mA\n';
const COOL = '- V5 6V6GT: a 331, 20 mA\n';
const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 322, k 19.4\n- B+: 330 V\n';
const chassis = (ohms: string) =>
  `---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = ${ohms} 5W, V5.k to gnd\n`;

describe('an open sheet', () => {
  it('is answered with its findings and its version', () =>
    withServer(async (client) => {
      client.open(HOT, { version: 7 });
      const { uri, version, diagnostics } = await client.next();
      expect({ uri, version }).toEqual({ uri: SHEET, version: 7 });
      expect(sayDiagnostics(diagnostics, HOT)).toEqual(['error anode-over-dissipation "60 mA"']);
      expect(diagnostics[0]).toMatchObject({ source: 'tagstrip', message: expect.stringContaining('12 W') });
    }));

  it('is answered though there is nothing to find', () =>
    withServer(async (client) => {
      client.open(COOL);
      expect(await client.next()).toMatchObject({ uri: SHEET, version: 1, diagnostics: [] });
    }));

  it('is answered again after a change, under the new version', () =>
    withServer(async (client) => {
      client.open(HOT);
      await client.next();
      client.change(2, [{ range: rangeOf(HOT, '60'), text: '20' }]);
      expect(await client.next()).toMatchObject({ version: 2, diagnostics: [] });
      client.change(3, [{ text: HOT }]);
      expect(await client.next()).toMatchObject({
        version: 3,
        diagnostics: [{ code: 'anode-over-dissipation' }],
      });
    }));

  it('is answered once for a burst of keystrokes', () =>
    withServer(async (client) => {
      client.open('- V5 6V6GT: a 331, \n');
      await client.next();
      for (const [i, text] of [...'60 mA'].entries()) {
        const at = { line: 0, character: 19 + i };
        client.change(2 + i, [{ range: { start: at, end: at }, text }]);
      }
      client.caret(1);
      const last = (await client.rest()).at(-1);
      expect(last).toMatchObject({ version: 6, diagnostics: [{ code: 'anode-over-dissipation' }] });
    }));
});

describe('what a finding brings with it', () => {
  const LEAK =
    '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- C9 = 22n 400V, V1B.a to V5.g\n- V5: a 331, g2 262, g +6, k 19.4\n';
  const texts = { [CHASSIS]: `${chassis('270R')}- R16 = 220k, V5.g to gnd\n` };
  const ask = async (client: Client) => {
    client.open(LEAK);
    const { diagnostics } = await client.next();
    const found = diagnostics.find(({ code }) => code === 'leaky-coupling');
    const actions = await client.actions(rangeOf(LEAK, '+6'), SHEET, ['quickfix']);
    return { found, inActions: actions.flatMap((each) => each.diagnostics ?? []) };
  };

  it('stands below it in an editor that shows it there', () =>
    withServer(async (client) => {
      const { found, inActions } = await ask(client);
      expect(found?.relatedInformation).toEqual([
        { location: { uri: SHEET, range: expect.anything() }, message: 'C9: fitted here.' },
        {
          location: { uri: SHEET, range: expect.anything() },
          message: expect.stringMatching(/^V5: As found, the anode of V5 dissipates 20.* W/),
        },
      ]);
      expect(found?.message).toMatch(/^As found, the grid of V5 .*to blame\.$/);
      expect(inActions).toContainEqual(found);
    }, texts));

  it.each([
    ['Eglot 1.9', { publishDiagnostics: { relatedInformation: false } }],
    ['one that says nothing of it', {}],
  ])('stands in its message in an editor that does not: %s', (_, textDocument) =>
    withServer(
      async (client) => {
        const { found, inActions } = await ask(client);
        expect(found?.relatedInformation).toEqual([]);
        expect(String(found?.message).split('\n')).toEqual([
          expect.stringMatching(/^As found, the grid of V5 .*to blame\.$/),
          'C9, line 5: fitted here.',
          expect.stringMatching(/^V5, line 6: As found, the anode of V5 dissipates 20.* W/),
        ]);
        expect(inActions).toContainEqual(found);
      },
      texts,
      { textDocument },
    ),
  );

  it('names the sheet where it stands on another', () => {
    const snapshots = new Map([SHEET, CHASSIS].map((uri) => [uri, createSnapshot(uri, 'one\ntwo\nthree\n')]));
    const at = (file: string) => ({ file, span: { start: 4, end: 7 } });
    const said = (named: string) =>
      toDiagnostic(
        createPlaces(() => 'utf-16'),
        {
          rule: 'over-voltage',
          file: SHEET,
          fingerprint: '',
          severity: 'error',
          subject: 'C1',
          message: 'C1 runs at 400 V.',
          timeless: 'C1 runs at 400 V.',
          source: at(SHEET),
          related: [{ subject: 'C1', message: 'fitted here.', source: at(named) }],
        },
        (uri) => snapshots.get(uri),
        { showsRelated: false },
      ).message;
    expect(said(CHASSIS)).toBe('C1 runs at 400 V.\nC1, larch, line 2: fitted here.');
    expect(said('file:///shop/gone.tagstrip.md')).toBe('C1 runs at 400 V.');
  });
});

describe('a sheet that goes (langium#1440, ty#818)', () => {
  it('is told empty when it is closed', () =>
    withServer(async (client) => {
      client.open(HOT);
      await client.next();
      client.close();
      expect(await client.next()).toEqual({ uri: SHEET, diagnostics: [] });
    }));

  it('is told nothing more when it is closed while its findings are computed', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        expect(await client.rest()).toEqual([]);
        client.close();
        expect(await client.next()).toEqual({ uri: SHEET, diagnostics: [] });
        disk.release();
        expect(await client.rest()).toEqual([]);
      },
      { [CHASSIS]: chassis('100R') },
    ));

  it('is told nothing of the change that was waiting when it was closed', () =>
    withServer(async (client) => {
      client.open(COOL);
      await client.next();
      client.change(2, [{ text: HOT }]);
      client.close();
      const told = await client.rest();
      expect(told.at(-1)).toEqual({ uri: SHEET, diagnostics: [] });
    }));
});

describe('a sheet opened again under version 1 (ty#2346)', () => {
  it('is answered about its new text', () =>
    withServer(async (client) => {
      client.open(HOT);
      await client.next();
      client.close();
      await client.next();
      client.open(COOL);
      expect(await client.next()).toMatchObject({ version: 1, diagnostics: [] });
      expect(await client.hover({ line: 0, character: 3 })).toMatchObject({
        contents: { value: expect.not.stringContaining('17.5') },
      });
    }));

  it('is answered about its new text even while the old one is computed', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        client.close();
        expect(await client.next()).toEqual({ uri: SHEET, diagnostics: [] });
        client.open(HOT);
        expect(await client.next()).toMatchObject({
          version: 1,
          diagnostics: [{ code: 'anode-over-dissipation' }],
        });
        disk.release();
        expect(await client.rest()).toEqual([]);
      },
      { [CHASSIS]: chassis('100R') },
    ));
});

describe('a job on a chassis sheet', () => {
  const texts = { [CHASSIS]: chassis('680R') };
  const codes = ({ diagnostics }: { diagnostics: { code?: string | number | undefined }[] }) =>
    diagnostics.map(({ code }) => code);

  it('is looked at again when the chassis sheet changes on disk', () =>
    withServer(async (client, disk) => {
      client.open(JOB);
      expect(codes(await client.next())).not.toContain('anode-over-dissipation');
      disk.texts.set(CHASSIS, chassis('220R'));
      client.changedOnDisk(CHASSIS);
      expect(codes(await client.next())).toContain('anode-over-dissipation');
      await client.rest();
      expect(client.counts.inlayRefreshes).toBeGreaterThan(0);
    }, texts));

  it('is looked at again while the chassis sheet is edited, and when that is thrown away', () =>
    withServer(async (client) => {
      client.open(JOB);
      await client.next();
      client.open(chassis('680R'), { uri: CHASSIS });
      await client.rest();
      client.change(2, [{ text: chassis('220R') }], CHASSIS);
      const told = await client.rest();
      const job = told.filter(({ uri }) => uri === SHEET).at(-1);
      expect(job === undefined ? undefined : codes(job)).toContain('anode-over-dissipation');
      client.close(CHASSIS);
      const after = await client.rest();
      const again = after.filter(({ uri }) => uri === SHEET).at(-1);
      expect(again === undefined ? undefined : codes(again)).not.toContain('anode-over-dissipation');
    }, texts));

  it('keeps to the open chassis sheet whatever happens to its file (erlang_ls#1292)', () =>
    withServer(async (client, disk) => {
      client.open(chassis('680R'), { uri: CHASSIS });
      client.open(JOB);
      await client.rest();
      disk.texts.set(CHASSIS, chassis('220R'));
      client.changedOnDisk(CHASSIS);
      expect(await client.rest()).toEqual([]);
    }, texts));

  it('is not disturbed by a storm of other files (rust-analyzer#11909)', () =>
    withServer(async (client, disk) => {
      client.open(JOB);
      await client.next();
      disk.texts.set(CHASSIS, chassis('220R'));
      const storm = Array.from({ length: 2000 }, (_, i) => `file:///shop/jobs/${i}.tagstrip.md`);
      client.changedOnDisk(...storm, CHASSIS, ...storm);
      const told = await client.rest();
      expect(told).toHaveLength(1);
      expect(codes(told[0] ?? { diagnostics: [] })).toContain('anode-over-dissipation');
    }, texts));

  it('finds a chassis sheet that appears later', () =>
    withServer(async (client, disk) => {
      client.open(JOB);
      expect(codes(await client.next())).toContain('sheet-missing');
      disk.texts.set(CHASSIS, chassis('220R'));
      client.changedOnDisk(CHASSIS);
      const after = codes(await client.next());
      expect(after).toContain('anode-over-dissipation');
      expect(after).not.toContain('sheet-missing');
    }));

  it('is asked to be watched', () =>
    withServer(async (client) => {
      await client.rest();
      expect(client.registrations).toEqual([
        'workspace/didChangeWatchedFiles {"watchers":[{"globPattern":"**/*.tagstrip.md"},{"globPattern":"**/*","kind":5}]}',
      ]);
    }));
});

describe('the line being typed', () => {
  const before = '- R17 = 470R\n- R18 = \n';
  const at = { line: 1, character: 8 };

  it('is not blamed until the caret leaves it', () =>
    withServer(async (client) => {
      client.open(before);
      client.caret(1);
      await client.next();
      client.change(2, [{ range: { start: at, end: at }, text: '1,500' }]);
      expect(await client.next()).toMatchObject({ version: 2, diagnostics: [] });
      client.caret(1);
      expect(await client.rest()).toEqual([]);
      client.caret(0);
      expect((await client.next()).diagnostics).toMatchObject([{ code: 'value-ambiguous' }]);
      expect(client.counts.inlayRefreshes).toBe(1);
    }));

  it('is not blamed until the sheet is saved, without a caret to go by', () =>
    withServer(async (client) => {
      client.open(before);
      await client.next();
      client.change(2, [{ range: { start: at, end: at }, text: '1,500' }]);
      expect(await client.next()).toMatchObject({ version: 2, diagnostics: [] });
      client.save();
      expect((await client.next()).diagnostics).toMatchObject([{ code: 'value-ambiguous' }]);
    }));

  it('is not blamed until another line is typed on', () =>
    withServer(async (client) => {
      client.open(before);
      await client.next();
      client.change(2, [{ range: { start: at, end: at }, text: '1,500' }]);
      await client.next();
      const end = { line: 1, character: 13 };
      client.change(3, [{ range: { start: end, end }, text: '\n' }]);
      expect((await client.next()).diagnostics).toMatchObject([{ code: 'value-ambiguous' }]);
    }));

  it('is another than the one a change elsewhere touches', () =>
    withServer(async (client) => {
      client.open(before);
      client.caret(0);
      await client.next();
      client.change(2, [{ range: { start: at, end: at }, text: '1,500' }]);
      expect((await client.next()).diagnostics).toMatchObject([{ code: 'value-ambiguous' }]);
    }));

  it('shows its value when the caret leaves it, not before', () =>
    withServer(async (client) => {
      const text = '- V5 6V6GT: a 331\n';
      client.open(text);
      client.caret(0);
      await client.next();
      const end = { line: 0, character: 17 };
      client.change(2, [{ range: { start: end, end }, text: ', 60 mA' }]);
      expect(await client.inlays()).toEqual([]);
      await client.rest();
      client.caret(1);
      await client.rest();
      expect(client.counts.inlayRefreshes).toBe(1);
      expect(await client.inlays()).toMatchObject([
        { label: expect.stringContaining('V5'), position: { line: 0, character: 24 } },
      ]);
    }));
});
