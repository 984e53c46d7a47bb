// `npm run bench`: builds, bundles the benchmark and runs it.
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { buildAll } from './build.mjs';
import { root, run } from './install.mjs';

await buildAll();
const { build } = await import('esbuild');
const folder = mkdtempSync(join(root, 'node_modules', '.bench-'));
const outfile = join(folder, 'bench.cjs');
await build({
  entryPoints: [join(root, 'tests', 'perf', 'bench.ts')],
  bundle: true,
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  outfile,
  logLevel: 'warning',
});
const status = run(process.execPath, [outfile, root, ...process.argv.slice(2)]);
rmSync(folder, { recursive: true });
process.exit(status);
