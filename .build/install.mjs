// Installs the packages of the lock file where they are missing or older than it. Plain Node, so that it runs on a fresh clone.
import { spawnSync } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..');

export function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    shell: process.platform === 'win32',
    ...options,
  });
  if (error) throw error;
  return status ?? 1;
}

export function ensureInstalled() {
  const stamp = join(root, 'node_modules', '.package-lock.json');
  const lock = join(root, 'package-lock.json');
  if (existsSync(stamp) && statSync(stamp).mtimeMs >= statSync(lock).mtimeMs) return;
  console.log('Installing packages (first run, or the lock file is newer) …');
  const status = run('npm', ['ci', '--no-audit', '--no-fund', '--ignore-scripts']);
  if (status !== 0) process.exit(status);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) ensureInstalled();
