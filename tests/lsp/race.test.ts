/** Requests that cross a change, a cancellation or each other: a correct answer or a refusal, never one about another text. */
import { describe, expect, it } from 'vitest';
import { CancellationTokenSource } from 'vscode-languageserver';
import { SHEET } from '../support/check.ts';
import { rangeOf, sayDiagnostics, WHOLE, withServer } from '../support/lsp-client.ts';

const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n- V5: a 331, g2 262, k 19.4\n';
const LARCH = '---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = 680R 5W, V5.k to gnd\n';
const CANCELLED = -32800;
const OUT_OF_DATE = -32801;
const codeOf = (error: { code: number }) => error.code;

const METHODS: readonly (readonly [string, object])[] = [
  ['hover', { position: { line: 4, character: 3 } }],
  ['completion', { position: { line: 4, character: 3 } }],
  ['definition', { position: { line: 4, character: 3 } }],
  ['documentSymbol', {}],
  ['inlayHint', { range: WHOLE }],
  ['codeAction', { range: WHOLE, context: { diagnostics: [] } }],
];

describe.each(METHODS)('textDocument/%s', (method, params) => {
  const ask = { textDocument: { uri: SHEET }, ...params };

  it('that is taken back is refused as cancelled', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        const source = new CancellationTokenSource();
        const answer = client.connection
          .sendRequest(`textDocument/${method}`, ask, source.token)
          .catch(codeOf);
        await client.rest();
        source.cancel();
        await client.rest();
        disk.release();
        expect(await answer).toBe(CANCELLED);
        await client.rest();
      },
      { [CHASSIS]: LARCH },
    ));

  it('about a text that has changed since is refused as out of date (rust-analyzer#12718)', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        const answer = client.ask(`textDocument/${method}`, ask).catch(codeOf);
        client.change(2, [{ text: '#\n' }]);
        await client.rest();
        disk.release();
        expect(await answer).toBe(OUT_OF_DATE);
        await client.rest();
      },
      { [CHASSIS]: LARCH },
    ));

  it('about a sheet that was closed and opened with another text is refused too', () =>
    withServer(
      async (client, disk) => {
        disk.hold(CHASSIS);
        client.open(JOB);
        const answer = client.ask(`textDocument/${method}`, ask).catch(codeOf);
        client.close();
        client.open('#\n');
        await client.rest();
        disk.release();
        expect(await answer).toBe(OUT_OF_DATE);
        await client.rest();
      },
      { [CHASSIS]: LARCH },
    ));
});

describe('a chassis sheet that is typed in while a job on it is asked about', () => {
  it('is answered about as it is now', () =>
    withServer(
      async (client) => {
        client.open(LARCH, { uri: CHASSIS });
        client.open(JOB);
        await client.rest();
        const asked = client.hover(rangeOf(JOB, 'V5').start);
        client.change(2, [{ text: `\n\n${LARCH.replace('680R', '220R')}`.trimStart() }], CHASSIS);
        const said = JSON.stringify(await asked);
        const after = JSON.stringify(await client.hover(rangeOf(JOB, 'V5').start));
        expect(after).toContain('220');
        // Asked before the change, it may be about either, but about one of them altogether.
        expect(said.includes('220') && said.includes('680')).toBe(false);
        await client.rest();
      },
      { [CHASSIS]: LARCH },
    ));
});

describe('fixes', () => {
  const text = '- R17 = 1,500\n- R18 = 2,200\n';

  it('once made are not offered again (vscode#79491)', () =>
    withServer(async (client) => {
      client.open(text);
      await client.rest();
      const [fix] = await client.actions(rangeOf(text, '1,500'));
      expect(fix?.edit?.documentChanges).toMatchObject([
        { textDocument: { version: 1 }, edits: [{ range: rangeOf(text, '1,500'), newText: '1k5' }] },
      ]);
      client.change(2, [{ range: rangeOf(text, '1,500'), text: '1k5' }]);
      expect(await client.actions(rangeOf(text, '1,500'))).toEqual([]);
      await client.rest();
    }));

  it('on neighbouring lines are each of the text they are made in (rust-analyzer#13650)', () =>
    withServer(async (client) => {
      client.open(text);
      await client.rest();
      client.change(2, [{ range: rangeOf(text, '- R17 = 1,500\n'), text: '' }]);
      const after = '- R18 = 2,200\n';
      const [fix] = await client.actions(WHOLE);
      expect(fix?.edit?.documentChanges).toMatchObject([
        { textDocument: { version: 2 }, edits: [{ range: rangeOf(after, '2,200'), newText: '2k2' }] },
      ]);
      await client.rest();
    }));
});

describe('a finding (yaml-language-server#19)', () => {
  it.each([
    ['a front matter that never closes', `---\njob: 1\n${'words\n\n'.repeat(5000)}`],
    ['a tag that never closes', `- R17 = 470R\n\n{R18: 4k7\n${'words\n'.repeat(9000)}`],
    ['a fence that never closes', `- R17 = 1,500\n\n\`\`\`\n${'- R18 = 2,200\n'.repeat(5000)}`],
  ])('is never wider than its line: %s', (_, sheet) =>
    withServer(async (client) => {
      client.open(sheet);
      const { diagnostics } = await client.next();
      expect(diagnostics.map(({ range }) => range.end.line - range.start.line)).toEqual(
        diagnostics.map(() => 0),
      );
      expect(sayDiagnostics(diagnostics, sheet).length).toBeLessThan(5);
    }),
  );
});
