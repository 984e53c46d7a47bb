/** Requests are answered in the editor's own counting, about the text it has, and nothing that is sent kills the server. */
import { describe, expect, it } from 'vitest';
import { SHEET } from '../support/check.ts';
import { rangeOf, slice, WHOLE, withServer } from '../support/lsp-client.ts';

const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 322, k 19.4\n';
const LARCH = '---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = 270R 5W, V5.k to gnd\n';
const HOT = '- V5 6V6GT: a 331, 60 mA\n';

describe('initialize', () => {
  it('says what the server can do', () =>
    withServer(async ({ capabilities }) => {
      expect(capabilities).toMatchObject({
        positionEncoding: 'utf-16',
        textDocumentSync: { openClose: true, change: 2, save: true },
        hoverProvider: true,
        inlayHintProvider: true,
        definitionProvider: true,
        documentSymbolProvider: true,
        codeActionProvider: { codeActionKinds: ['quickfix', 'refactor.rewrite', 'source.tidy'] },
        completionProvider: { triggerCharacters: expect.arrayContaining(['{', '.']) },
      });
    }));

  it('asks nothing of an editor that can do little, and speaks plain text to it', () =>
    withServer(
      async (client) => {
        client.open(HOT);
        await client.next();
        const hover = await client.hover({ line: 0, character: 3 });
        expect(hover).toMatchObject({
          contents: { kind: 'plaintext', value: expect.stringMatching(/^V5 1/) },
        });
        client.change(2, [{ text: '- R17 = 1,500\n' }]);
        await client.next();
        const [action] = await client.actions(WHOLE);
        expect(Object.keys(action?.edit ?? {})).toEqual(['changes']);
        expect(client.registrations).toEqual([]);
        expect(client.counts.inlayRefreshes).toBe(0);
      },
      {},
      { textDocument: { hover: { contentFormat: ['plaintext'] } } },
    ));
});

describe('positions', () => {
  const row = '| 🔥 V5 | 331 | 60 mA |';
  const text = `# Larch 🔥\n\n| Valve | a | mA |\n| --- | --- | --- |\n${row}\n\n- {V5 = 6V6GT} 🔥 {V5: a 331, 60 mA}\n`;

  it.each([
    ['LF', text],
    ['CRLF', text.replaceAll('\n', '\r\n')],
    ['BOM', `\uFEFF${text}`],
    ['CR', text.replaceAll('\n', '\r')],
  ])('are the editor’s own with %s', (_, sheet) =>
    withServer(async (client) => {
      client.open(sheet);
      const { diagnostics } = await client.next();
      expect(diagnostics.map(({ range }) => slice(sheet, range))).toEqual(['60 mA']);
      const { start } = rangeOf(sheet, 'V5: a 331');
      const hover = await client.hover(start);
      expect(hover?.range === undefined ? '' : slice(sheet, hover.range)).toBe('V5');
      const [inlay] = await client.inlays();
      expect(inlay?.position).toEqual(rangeOf(sheet, '60 mA}').end);
    }),
  );

  it('between the halves of 🔥, past the line or past the text are held to what is there', () =>
    withServer(async (client) => {
      client.open('🔥 V5\n');
      await client.next();
      for (const position of [
        { line: 0, character: 1 },
        { line: 0, character: 400 },
        { line: 400, character: 4 },
        { line: -1, character: -1 },
      ]) {
        expect(await client.hover(position)).toBeNull();
        expect(await client.completion(position)).toEqual([]);
      }
    }));

  it('do not drift down 200 lines of CRLF (rust-analyzer#12293)', () =>
    withServer(async (client) => {
      const sheet = `${'Nothing here.\r\n\r\n'.repeat(90)}${'- R17 = 1,500'}\r\n${'Nor here.\r\n'.repeat(20)}`;
      client.open(sheet);
      const { diagnostics } = await client.next();
      expect(diagnostics.map(({ range }) => slice(sheet, range))).toEqual(['1,500']);
      const [action] = await client.actions(diagnostics[0]?.range ?? WHOLE);
      expect(action?.edit?.documentChanges).toMatchObject([{ edits: [{ newText: '1k5' }] }]);
    }));

  it('follow edits sent as pieces, CRLF and 🔥 included', () =>
    withServer(async (client) => {
      const before = '🔥 one\r\n- V5 6V6GT: a 331\r\n';
      client.open(before);
      await client.next();
      const at = { line: 1, character: 17 };
      client.change(2, [
        { range: { start: { line: 0, character: 0 }, end: { line: 0, character: 2 } }, text: '🔥🔥\r\n' },
        { range: { start: { ...at, line: 2 }, end: { ...at, line: 2 } }, text: ', 60 mA' },
      ]);
      const after = '🔥🔥\r\n one\r\n- V5 6V6GT: a 331, 60 mA\r\n';
      const { diagnostics } = await client.next();
      expect(diagnostics.map(({ range }) => slice(after, range))).toEqual(['60 mA']);
    }));
});

describe('features', () => {
  it('go into the chassis sheet, also before it is open', () =>
    withServer(
      async (client) => {
        client.open(JOB);
        await client.next();
        const places = await client.definition(rangeOf(JOB, 'V5').start);
        expect(places.map(({ uri, range }) => `${uri} ${slice(LARCH, range)}`)).toEqual([`${CHASSIS} V5`]);
      },
      { [CHASSIS]: LARCH },
    ));

  it('answer about a sheet that was never opened', () =>
    withServer(
      async (client) => {
        const [section] = await client.symbols(CHASSIS);
        expect(section).toBeUndefined();
        const hover = await client.hover({ line: 5, character: 3 }, CHASSIS);
        expect(hover).toMatchObject({ contents: { value: expect.stringContaining('270') } });
        expect(await client.hover({ line: 0, character: 0 }, 'file:///nowhere.tagstrip.md')).toBeNull();
      },
      { [CHASSIS]: LARCH },
    ));

  it('complete with an explicit range, B+1 included', () =>
    withServer(async (client) => {
      const text = '{B+1: 330 V}\n\n{R1 = 1k 1W, B+1 to B+2}\n\n{B+\n';
      client.open(text);
      await client.next();
      const items = await client.completion({ line: 4, character: 3 });
      expect(items.map(({ label }) => label)).toEqual(['B+1', 'B+2']);
      expect(items[0]?.textEdit).toEqual({
        range: { start: { line: 4, character: 1 }, end: { line: 4, character: 3 } },
        newText: 'B+1',
      });
    }));

  it('show the writer’s words as text: a sign of arithmetic is no emphasis', () =>
    withServer(async (client) => {
      client.open('{V5.k: 19.4 V} {R17 = 470R} {? V5.k * R17 * 1}\n');
      await client.next();
      const hover = await client.hover({ line: 0, character: 34 });
      expect(hover).toMatchObject({
        contents: { kind: 'markdown', value: expect.stringContaining('V5.k \\* R17') },
      });
    }));

  it('link from a hover to what would complete a figure, for this version', () =>
    withServer(async (client) => {
      client.open('{V5 6V6GT: a 331, k 19.4} {R18 = 270R 5W}\n', { version: 5 });
      await client.next();
      const said = JSON.stringify(await client.hover({ line: 0, character: 28 }));
      const query = /\]\(command:tagstrip\.write\?([^)]*)\)/.exec(said)?.[1] ?? '';
      expect(JSON.parse(decodeURIComponent(query))).toEqual([
        {
          uri: SHEET,
          version: 5,
          range: { start: { line: 0, character: 40 }, end: { line: 0, character: 40 } },
          text: ', V5.k to gnd',
        },
      ]);
    }));

  it('offer fixes for this version and no other, and no fix when none is asked for', () =>
    withServer(async (client) => {
      const text = '- R17 = 1,500\n- R18 = 2,200\n';
      client.open(text, { version: 3 });
      await client.next();
      const first = await client.actions(rangeOf(text, '1,500'));
      expect(first.map(({ title }) => title.replaceAll('\u00a0', ' '))).toEqual([
        'Write 1k5 (1.5 kΩ)',
        'Write 1R5 (1.5 Ω)',
      ]);
      expect(first[0]?.edit?.documentChanges).toMatchObject([
        { textDocument: { uri: SHEET, version: 3 }, edits: [{ newText: '1k5' }] },
      ]);
      expect(await client.actions(rangeOf(text, '1,500'), SHEET, ['refactor'])).toEqual([]);
      expect(await client.actions(rangeOf(text, '1,500'), SHEET, ['quickfix'])).toHaveLength(2);
      // Two fixes on neighbouring lines without findings sent in between (rust-analyzer#13650).
      client.change(4, [{ range: rangeOf(text, '1,500'), text: '1k5' }]);
      const second = await client.actions({
        start: { line: 1, character: 8 },
        end: { line: 1, character: 8 },
      });
      const [edit] = second[0]?.edit?.documentChanges ?? [];
      expect(edit).toMatchObject({ textDocument: { version: 4 }, edits: [{ newText: '2k2' }] });
      expect(
        await client.actions({ start: { line: 0, character: 8 }, end: { line: 0, character: 8 } }),
      ).toEqual([]);
      await client.rest();
    }));

  it('offer to accept a finding behind all that would mend it, and not where the writing is wrong', () =>
    withServer(async (client) => {
      const text =
        '# Job\r\n\r\n## Work\r\n\r\n- C21 = 47uF 350V, B+1 to gnd -> 47uF 400V\r\n- B+1: 420 V\r\n- R17 = 1,500\r\n';
      client.open(text);
      await client.next();
      const titles = (await client.actions(WHOLE)).map(({ title }) => title);
      const accepting = titles.filter((title) => title === 'Accept it, with a reason to fill in').length;
      expect(accepting).toBeGreaterThan(0);
      expect(titles.slice(-accepting)).toEqual(Array(accepting).fill('Accept it, with a reason to fill in'));
      const [accept] = (
        await client.actions(rangeOf(text, 'C21 = 47uF 350V, B+1 to gnd -> 47uF 400V'))
      ).slice(-1);
      expect(accept?.kind).toBe('quickfix');
      expect(accept?.edit?.documentChanges).toMatchObject([
        { edits: [{ newText: expect.stringMatching(/^\r\n\r\n\{accept [a-z-]+ C21: \}$/) }] },
      ]);
      const writing = await client.actions(rangeOf(text, '1,500'));
      expect(writing.map(({ title }) => title)).not.toContain('Accept it, with a reason to fill in');
      await client.rest();
    }));

  it('render the summary of the text as it stands', () =>
    withServer(async (client) => {
      client.open('# Larch, the blue one\n\n## Owner\n\nIt hummed.\n');
      await client.next();
      expect((await client.summary('bench'))?.html).toMatch(/<!DOCTYPE html>[\s\S]*Larch, the blue one/);
      client.change(2, [{ text: '# Alder\n\n## Owner\n\nIt hums no more.\n' }]);
      const customer = await client.summary('customer');
      expect(customer?.html).toContain('It hums no more.');
      expect(customer?.language).toBe('en-GB');
      expect((await client.summary('a stranger'))?.html).toContain('Alder');
      expect((await client.summary('label'))?.html).toContain('Bias at check-out');
      expect(customer?.html).not.toContain('Before and after');
      const told = await client.summary('customer', undefined, { withReadings: true });
      expect(told?.html).toContain('Before and after');
      expect(await client.summary('bench', 'file:///nowhere.tagstrip.md')).toBeNull();
      await client.rest();
    }));
});

describe('a request about an older text (rust-analyzer#12718)', () => {
  it('is refused as out of date, or answered correctly', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        const old = client.hover(rangeOf(JOB, 'k 19.4').start).catch((error: { code: number }) => error.code);
        client.change(2, [{ text: '#\n' }]);
        await client.next();
        disk.release();
        expect(await old).toBe(-32801);
      },
      { [CHASSIS]: LARCH },
    ));

  it('is answered about the newest text when it comes after the change', () =>
    withServer(async (client) => {
      client.open(HOT);
      await client.next();
      client.change(2, [{ text: `\n${HOT}` }]);
      const hover = await client.hover({ line: 1, character: 3 });
      expect(hover?.range).toEqual({ start: { line: 1, character: 2 }, end: { line: 1, character: 4 } });
      await client.rest();
    }));
});

describe('what no editor should send', () => {
  const bad: readonly unknown[] = [
    {},
    { textDocument: null },
    { textDocument: { uri: 5 } },
    { textDocument: { uri: SHEET } },
    { textDocument: { uri: SHEET }, position: 'here' },
    { textDocument: { uri: SHEET }, range: {}, context: {} },
  ];

  it('is answered, if need be with an error, and the server goes on', () =>
    withServer(async (client) => {
      client.open(HOT);
      await client.next();
      for (const method of [
        'hover',
        'completion',
        'definition',
        'documentSymbol',
        'codeAction',
        'inlayHint',
        'noSuchThing',
      ]) {
        for (const params of bad) {
          await client.ask(`textDocument/${method}`, params).catch((error: { code: number }) => {
            expect(error.code).toBeLessThan(0);
          });
        }
      }
      for (const method of ['didOpen', 'didChange', 'didClose', 'didSave']) {
        for (const params of bad.slice(0, 3)) client.notify(`textDocument/${method}`, params);
      }
      client.notify('textDocument/didChange', {
        textDocument: { uri: SHEET, version: 2 },
        contentChanges: [{}],
      });
      client.notify('textDocument/didChange', {
        textDocument: { uri: 'file:///x.md', version: 2 },
        contentChanges: [],
      });
      client.notify('workspace/didChangeWatchedFiles', {});
      client.notify('tagstrip/caret', {});
      await client.rest();
      expect(client.faults.length).toBeGreaterThan(0);
      client.faults.length = 0;
      client.change(3, [{ text: HOT }]);
      expect(await client.next()).toMatchObject({ diagnostics: [{ code: 'anode-over-dissipation' }] });
      expect(await client.hover({ line: 0, character: 3 })).not.toBeNull();
    }));
});
