/** The bundles as others call them: plain Node, in a folder without node_modules. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildAll } from '../../.build/build.mjs';

const samples = fileURLToPath(new URL('../../samples', import.meta.url));
let folder = '';
let built: Awaited<ReturnType<typeof buildAll>> = {};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-bundle-'));
  built = await buildAll({ minify: false, outdir: folder });
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('dist/tagstrip.cjs', () => {
  const tagstrip = (...args: string[]) =>
    spawnSync(process.execPath, [join(folder, 'tagstrip.cjs'), ...args], { cwd: folder, encoding: 'utf8' });

  it('checks the samples by itself', () => {
    const { status, stdout, stderr } = tagstrip('check', samples);
    expect(stderr).toBe('');
    // One job is still open, and what is wrong with it stands.
    expect(status).toBe(1);
    expect(stdout).toMatch(/accepted in 19 sheets\.\n$/);
  });

  it('says its version, and what it does not understand', () => {
    expect(tagstrip('--version').stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
    expect(tagstrip('solder').status).toBe(2);
  });
});

describe('dist/tagstrip-lsp.cjs', () => {
  const text = '# Job 🔥\n\n## As found\n\n| 🔥 R1 | 47 µF |\n\n🔥 µ {V5 = 6V6GT} {V5: a 331, 38 A}\n';
  /** How far along the line 38 A stands, as each editor counts it. */
  const along = { 'utf-16': '🔥 µ {V5 = 6V6GT} {V5: a 331, '.length, 'utf-8': 0, 'utf-32': 0 };
  along['utf-8'] = Buffer.byteLength('🔥 µ {V5 = 6V6GT} {V5: a 331, ');
  along['utf-32'] = along['utf-16'] - 1;

  it.each(Object.entries(along))(
    'speaks the protocol over its standard streams to an editor that counts in %s',
    async (encoding, character) => {
      const server = spawn(process.execPath, [join(folder, 'tagstrip-lsp.cjs'), '--stdio'], { cwd: folder });
      const send = (content: object) => {
        const body = JSON.stringify({ jsonrpc: '2.0', ...content });
        server.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
      };
      let out = Buffer.alloc(0);
      const waiting: (() => void)[] = [];
      server.stdout.on('data', (data: Buffer) => {
        out = Buffer.concat([out, data]);
        for (const look of waiting) look();
      });
      /** The first message that is meant, of those that came or will come. */
      const message = (isMeant: (content: Message) => boolean) =>
        new Promise<Message>((resolve, reject) => {
          const look = () => {
            const found = messagesIn(out).find(isMeant);
            if (found !== undefined) resolve(found);
          };
          waiting.push(look);
          server.once('exit', (code) => reject(new Error(`ended with ${code}: ${out}`)));
          look();
        });
      try {
        const general = { positionEncodings: [encoding] };
        send({
          id: 1,
          method: 'initialize',
          params: { processId: null, rootUri: null, capabilities: { general } },
        });
        expect((await message(({ id }) => id === 1)).result?.capabilities?.positionEncoding).toBe(encoding);
        send({ method: 'initialized', params: {} });
        const textDocument = { uri: 'file:///job.tagstrip.md', languageId: 'markdown', version: 1, text };
        send({ method: 'textDocument/didOpen', params: { textDocument } });
        const told = await message(({ method }) => method === 'textDocument/publishDiagnostics');
        expect(told.params?.diagnostics).toMatchObject([
          {
            code: 'unit-slip',
            range: { start: { line: 6, character }, end: { line: 6, character: character + 4 } },
          },
        ]);
        const position = { line: 6, character: character + 1 };
        send({ id: 2, method: 'textDocument/hover', params: { textDocument, position } });
        const hover = await message(({ id }) => id === 2);
        expect(JSON.stringify(hover.result)).toMatch(/cathode current \*\*38.A/);
        send({ id: 3, method: 'shutdown' });
        await message(({ id }) => id === 3);
        const ended = new Promise((resolve) => server.once('exit', resolve));
        send({ method: 'exit' });
        expect(await ended).toBe(0);
      } finally {
        server.removeAllListeners('exit');
        server.kill();
      }
    },
  );
});

interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly result?: { readonly capabilities?: { readonly positionEncoding?: string } };
  readonly params?: { readonly diagnostics?: unknown };
}

function messagesIn(stream: Buffer): Message[] {
  const found: Message[] = [];
  let at = 0;
  for (;;) {
    const head = stream.indexOf('\r\n\r\n', at);
    if (head < 0) return found;
    const length = Number(/Content-Length: (\d+)/.exec(stream.toString('utf8', at, head))?.[1]);
    const body = stream.subarray(head + 4, head + 4 + length);
    if (body.length < length) return found;
    found.push(JSON.parse(body.toString('utf8')) as Message);
    at = head + 4 + length;
  }
}

describe('dist/extension.cjs', () => {
  it('holds nothing that only a sheet needs: it is read with every Markdown file', () => {
    const needed = Object.keys(built['extension.cjs']?.inputs ?? {});
    expect(needed).toContain('client/activation.ts');
    expect(needed.filter((path) => !/^(?:client|grammar)\//.test(path))).toEqual([]);
    expect(built['extension.cjs']?.imports.map(({ path }) => path)).toContain('./extension-server.cjs');
  });
});

describe.each(['extension.cjs', 'extension-browser.cjs'])(
  'what dist/%s gives to the Markdown preview',
  (name) => {
    it('sets tags apart in a sheet, and nothing in another file', () => {
      const say = `
      const module = require('node:module');
      const load = module._load;
      const anything = new Proxy(function () {}, {
        get: (_, name) => (name === 'activeTextEditor' ? undefined : anything),
        set: () => true,
        construct: () => anything,
        apply: () => anything,
      });
      const names = ['commands', 'languages', 'window', 'workspace', 'StatusBarAlignment'];
      const vscode = Object.fromEntries(names.map((name) => [name, anything]));
      module._load = (name, ...rest) => (name === 'vscode' ? vscode : load(name, ...rest));
      const { extendMarkdownIt } = require(${JSON.stringify(join(folder, name))}).activate({ subscriptions: [] });
      const text = { type: 'text', content: 'at {V5: a 347}', markup: '', children: null };
      const tokens = [{ type: 'inline', content: text.content, markup: '', children: [text] }];
      const renderer = {
        rules: {},
        render: (all) =>
          all[0].children.map((each, i, children) => renderer.rules[each.type]?.(children, i) ?? each.content).join(''),
      };
      extendMarkdownIt({ renderer, utils: { escapeHtml: (words) => words } });
      for (const path of ['/a.tagstrip.md', '/a.md']) console.log(renderer.render(tokens, {}, { currentDocument: { path } }));`;
      const { stdout, stderr } = spawnSync(process.execPath, ['-e', say], { cwd: folder, encoding: 'utf8' });
      expect(stderr).toBe('');
      expect(stdout).toBe('at <code class="tagstrip-tag">V5: a 347</code>\nat {V5: a 347}\n');
    });
  },
);

describe('the bundles for a browser', () => {
  it.each(['extension-browser.cjs', 'tagstrip-worker.js'])('%s needs nothing that only Node has', (name) => {
    const output = built[name];
    const needed = Object.keys(output?.inputs ?? {});
    expect(needed.length).toBeGreaterThan(20);
    expect(needed.filter((path) => /\/node\/main\.js$|disk-files\.ts$|server\/cli\//.test(path))).toEqual([]);
    const outside = (output?.imports ?? []).map(({ path }) => path);
    expect(outside.filter((path) => path !== 'vscode')).toEqual([]);
  });

  it('the worker needs no page either', () => {
    const needed = Object.keys(built['tagstrip-worker.js']?.inputs ?? {});
    expect(needed.filter((path) => /\.dom\.js$/.test(path))).toEqual([]);
  });
});
