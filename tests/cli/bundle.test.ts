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

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-bundle-'));
  await buildAll({ minify: false, outdir: folder });
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('dist/tagstrip.cjs', () => {
  const tagstrip = (...args: string[]) =>
    spawnSync(process.execPath, [join(folder, 'tagstrip.cjs'), ...args], { cwd: folder, encoding: 'utf8' });

  it('checks the samples by itself', () => {
    const { status, stdout, stderr } = tagstrip('check', samples);
    expect(stderr).toBe('');
    expect(status).toBe(0);
    expect(stdout).toMatch(/accepted in 5 sheets\.\n$/);
  });

  it('says its version, and what it does not understand', () => {
    expect(tagstrip('--version').stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
    expect(tagstrip('solder').status).toBe(2);
  });
});

describe('dist/tagstrip-lsp.cjs', () => {
  it('speaks the protocol over its standard streams: a sheet opened is a sheet checked', async () => {
    const server = spawn(process.execPath, [join(folder, 'tagstrip-lsp.cjs'), '--stdio'], { cwd: folder });
    const send = (content: object) => {
      const body = JSON.stringify({ jsonrpc: '2.0', ...content });
      server.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
    };
    try {
      let out = '';
      const told = new Promise<string>((resolve, reject) => {
        server.stdout.on('data', (data) => {
          out += String(data);
          if (out.includes('publishDiagnostics')) resolve(out);
        });
        server.once('exit', (code) => reject(new Error(`ended with ${code}: ${out}`)));
      });
      send({ id: 1, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
      send({ method: 'initialized', params: {} });
      const text = '# Job\n\n## As found\n\n- V5 = 6V6GT\n- V5: a 331, 38 A\n';
      const textDocument = { uri: 'file:///job.tagstrip.md', languageId: 'markdown', version: 1, text };
      send({ method: 'textDocument/didOpen', params: { textDocument } });
      expect(await told).toContain('unit-slip');
    } finally {
      server.removeAllListeners('exit');
      server.kill();
    }
  });
});
