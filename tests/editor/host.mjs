// Starts a throw-away editor on 127.0.0.1 with the packed extension and a copy of the samples, and stops it again.
import { execFile, spawn } from 'node:child_process';
import { cp, mkdir, readFile, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { hostEntry, hostNode } from './setup.mjs';

const here = dirname(fileURLToPath(import.meta.url));

function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer()
      .once('error', reject)
      .listen(0, '127.0.0.1', () => {
        const { port } = server.address();
        server.close(() => resolve(port));
      });
  });
}

/** `dir` must be short: sockets are made in it. */
export async function startHost({ dir, vsix, workspace, sheets = {}, extraSettings = {} }) {
  const at = (name) => join(dir, name);
  await mkdir(at('user/User'), { recursive: true });
  await cp(workspace, at('ws'), { recursive: true });
  for (const [file, text] of Object.entries(sheets)) await writeFile(join(at('ws'), file), text);
  const settings = { ...JSON.parse(await readFile(join(here, 'settings.json'), 'utf8')), ...extraSettings };
  await writeFile(at('user/User/settings.json'), JSON.stringify(settings, null, 2));
  const port = await freePort();
  await writeFile(at('config.yaml'), `bind-addr: 127.0.0.1:${port}\nauth: none\ncert: false\n`);
  const env = {
    PATH: process.env.PATH,
    HOME: dir,
    TMPDIR: '/tmp',
    LANG: 'C.UTF-8',
    EXTENSIONS_GALLERY: '{}',
    XDG_RUNTIME_DIR: dir,
  };
  const args = ['--config', at('config.yaml'), '--user-data-dir', at('user'), '--extensions-dir', at('ext')];
  await promisify(execFile)(hostNode, [hostEntry, ...args, '--install-extension', vsix], { env });
  const child = spawn(
    hostNode,
    [
      hostEntry,
      ...args,
      '--disable-telemetry',
      '--disable-update-check',
      '--disable-workspace-trust',
      '--disable-getting-started-override',
      '--ignore-last-opened',
    ],
    { env, detached: true, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  let log = '';
  child.stdout.on('data', (data) => {
    log += data;
  });
  child.stderr.on('data', (data) => {
    log += data;
  });
  const exited = new Promise((resolve) => child.once('exit', resolve));
  const base = `http://127.0.0.1:${port}`;
  for (let tries = 0; ; tries++) {
    if (child.exitCode !== null || tries > 300) throw new Error(`the editor did not start:\n${log}`);
    if (
      await fetch(`${base}/healthz`).then(
        (response) => response.ok,
        () => false,
      )
    )
      break;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  const kill = (signal) => {
    try {
      process.kill(-child.pid, signal);
    } catch {
      // It has ended by itself.
    }
  };
  return {
    workspace: at('ws'),
    /** The process group in which all of the editor's processes run. */
    group: child.pid,
    /** The user's settings at the start. */
    settings,
    log: () => log,
    page: (file) =>
      `${base}/?folder=${encodeURIComponent(at('ws'))}&payload=${encodeURIComponent(JSON.stringify([['openFile', `vscode-remote://127.0.0.1:${port}${at('ws')}/${file}`]]))}`,
    stop: async () => {
      kill('SIGTERM');
      await Promise.race([exited, new Promise((resolve) => setTimeout(resolve, 3000))]);
      kill('SIGKILL');
    },
  };
}
