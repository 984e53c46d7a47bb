// `npm start`: checks the samples, prints what was found, writes their summaries as HTML and says where.
import { mkdirSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { buildAll } from './build.mjs';
import { ensureInstalled, root, run } from './install.mjs';

ensureInstalled();
await buildAll();
const tagstrip = (...args) => run(process.execPath, [join('dist', 'tagstrip.cjs'), ...args]);

// Findings are what the samples are for: exit 1 says that there are some, 2 and 3 that something is broken.
const checked = tagstrip('check', 'samples');
if (checked > 1) process.exit(checked);

const out = join(root, 'dist', 'summaries');
mkdirSync(out, { recursive: true });
console.log('');
for (const file of readdirSync(join(root, 'samples', 'jobs'))
  .filter((name) => name.endsWith('.tagstrip.md'))
  .sort()) {
  for (const reader of ['bench', 'customer']) {
    const target = join('dist', 'summaries', `${basename(file, '.tagstrip.md')}.${reader}.html`);
    const status = tagstrip('summary', join('samples', 'jobs', file), '--for', reader, '--out', target);
    if (status !== 0) process.exit(status);
    console.log(`Summary for the ${reader}: ${target}`);
  }
}
