/** What editors send that should not, or say of themselves in an older way: refused by its right name, or understood. */
import { describe, expect, it } from 'vitest';
import { ErrorCodes, ResponseError } from 'vscode-languageserver/node';
import { memoryFiles } from '../../server/shop/files.ts';
import { SHEET } from '../support/check.ts';
import { connectServer, PULLING, sayDiagnostics, withServer } from '../support/lsp-client.ts';

const HOT = '# Job\n\n## As found\n\n- V4 = 6V6GT {V4.a: 320 V} {V4.k: 22 V} {V4.k: 60 mA}\n';
const HOVER = { textDocument: { uri: SHEET }, position: { line: 0, character: 0 } };
const INTRODUCTION = { processId: null, rootUri: null, capabilities: {} };

describe('out of turn', () => {
  const codeOf = (asked: Promise<unknown>) =>
    asked.then(
      () => 'answered',
      (error: unknown) => (error instanceof ResponseError ? error.code : error),
    );
  const REQUESTS = [
    ['textDocument/hover', HOVER],
    ['textDocument/references', { ...HOVER, context: { includeDeclaration: true } }],
    ['textDocument/diagnostic', { textDocument: { uri: SHEET } }],
    ['workspace/diagnostic', { previousResultIds: [] }],
    ['workspace/symbol', { query: '' }],
    ['tagstrip/summary', { textDocument: { uri: SHEET }, reader: 'bench' }],
    ['textDocument/nothing', {}],
  ] as const;

  it('nothing is answered before the introduction and after the goodbye, and nothing heard', async () => {
    const { connection, server, settled } = connectServer(memoryFiles({}));
    const published: unknown[] = [];
    connection.onNotification(
      'textDocument/publishDiagnostics',
      (params: unknown) => void published.push(params),
    );
    connection.listen();
    const open = () =>
      connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri: SHEET, languageId: 'markdown', version: 1, text: HOT },
      });
    const ask = (method: string, params?: object) => codeOf(connection.sendRequest(method, params));

    await open();
    for (const [method, params] of [...REQUESTS, ['shutdown', undefined] as const])
      expect([method, await ask(method, params)]).toEqual([method, ErrorCodes.ServerNotInitialized]);
    expect(await ask('initialize', INTRODUCTION)).toBe('answered');
    expect(await ask('initialize', INTRODUCTION)).toBe(ErrorCodes.InvalidRequest);
    expect(await connection.sendRequest('textDocument/hover', HOVER)).toBeNull();
    expect(await ask('textDocument/nothing', {})).toBe(ErrorCodes.MethodNotFound);

    expect(await ask('shutdown')).toBe('answered');
    await open();
    for (const [method, params] of [
      ...REQUESTS,
      ['shutdown', undefined],
      ['initialize', INTRODUCTION],
    ] as const)
      expect([method, await ask(method, params)]).toEqual([method, ErrorCodes.InvalidRequest]);
    await settled();
    expect(published).toEqual([]);
    connection.dispose();
    server.dispose();
  });
});

describe('a request that lacks what it must say', () => {
  const about = { textDocument: { uri: SHEET } };
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  const { position } = HOVER;
  it.each([
    ['textDocument/codeAction', { ...about, range }, 'context'],
    ['textDocument/codeAction', { ...about, context: { diagnostics: [] } }, 'range'],
    ['textDocument/references', { ...about, position }, 'context'],
    ['textDocument/references', { position, context: { includeDeclaration: true } }, 'textDocument'],
    ['textDocument/hover', about, 'position'],
    ['textDocument/hover', { ...about, position: { line: 1 } }, 'position'],
    ['textDocument/completion', about, 'position'],
    ['textDocument/signatureHelp', about, 'position'],
    ['textDocument/definition', about, 'position'],
    ['textDocument/declaration', about, 'position'],
    ['textDocument/documentHighlight', about, 'position'],
    ['textDocument/prepareRename', about, 'position'],
    ['textDocument/rename', { ...about, position }, 'newName'],
    ['textDocument/rangeFormatting', { ...about, options: {} }, 'range'],
    ['textDocument/inlayHint', { ...about, range: { start: position } }, 'range'],
    ['textDocument/semanticTokens/range', about, 'range'],
    ['textDocument/documentLink', {}, 'textDocument'],
    ['textDocument/diagnostic', {}, 'textDocument'],
    ['workspace/diagnostic', {}, 'previousResultIds'],
    ['workspace/symbol', {}, 'query'],
    ['tagstrip/summary', { reader: 'bench' }, 'textDocument'],
  ])('%s %j: its editor is told that it is its own fault', async (method, params, missing) => {
    await withServer(async (client) => {
      client.open(HOT);
      await client.next();
      await expect(client.ask(method, params)).rejects.toMatchObject({
        code: ErrorCodes.InvalidParams,
        message: `the request says no ${missing}`,
      });
    });
  });
});

it('the request for completions may leave its context out', async () => {
  await withServer(async (client) => {
    client.open('# Job\n\n{V1.\n');
    await client.next();
    expect((await client.completion({ line: 2, character: 4 })).length).toBeGreaterThan(0);
  });
});

describe('an editor that names its folder', () => {
  const found = async (introduction: object) => {
    const names: string[] = [];
    await withServer(
      async (client) => {
        for (const { name } of await client.ask<{ name: string }[]>('workspace/symbol', { query: 'larch' }))
          names.push(name);
      },
      {
        'file:///srv/our%20shop/a.tagstrip.md': '# Larch, on the server\n',
        'file:///c%3A/shop/b.tagstrip.md': '# Larch, on the drive\n',
        'file://bench/shop/c.tagstrip.md': '# Larch, on the bench\n',
      },
      undefined,
      { introduction },
    );
    return names;
  };
  it.each([
    [{ rootPath: '/srv/our shop' }, 'Larch, on the server'],
    [{ rootPath: '/srv/our shop/' }, 'Larch, on the server'],
    [{ rootPath: 'C:\\shop' }, 'Larch, on the drive'],
    [{ rootPath: '\\\\bench\\shop' }, 'Larch, on the bench'],
    [{ rootUri: 'file:///c:/shop', rootPath: '/srv/our shop' }, 'Larch, on the drive'],
  ])('%j', async (introduction, name) => {
    expect(await found({ workspaceFolders: null, rootUri: null, ...introduction })).toEqual([name]);
  });
  it('or names none has no sheets that are not open', async () => {
    expect(await found({ rootUri: null, rootPath: null })).toEqual([]);
  });
});

it('an editor that refuses to say its settings, as it said it would, has findings', async () => {
  const settings = {
    get current(): unknown {
      throw new ResponseError(ErrorCodes.MethodNotFound, 'workspace/configuration');
    },
  };
  await withServer(
    async (client) => {
      client.open(HOT);
      const report = await client.pull();
      expect(report.kind === 'full' && sayDiagnostics(report.items, HOT)).toContain(
        'error anode-over-dissipation "60 mA"',
      );
      expect(client.registrations.map((each) => each.split(' ')[0])).toContain('textDocument/diagnostic');
    },
    {},
    PULLING,
    { settings },
  );
});
