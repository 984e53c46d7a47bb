// `npm test`: installs what is missing, checks types, style and the whole default test suite, and counts.

import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { buildAll } from './build.mjs';
import { ensureInstalled, root, run } from './install.mjs';

ensureInstalled();
const bin = (name) => join(root, 'node_modules', '.bin', name);
let failed = 0;
let passed = 0;
for (const [name, command, args] of [
  ['types', bin('tsc'), ['--noEmit']],
  ['style', bin('biome'), ['check', '.']],
]) {
  const ok = run(command, args) === 0;
  console.log(`${ok ? 'ok    ' : 'FAILED'} ${name}`);
  if (ok) passed++;
  else failed++;
}
await buildAll();
const report = join(root, 'dist', 'test-report.json');
rmSync(report, { force: true });
const status = run(bin('vitest'), [
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${report}`,
]);
const counted = JSON.parse(readFileSync(report, 'utf8'));
passed += counted.numPassedTests;
failed += counted.numFailedTests + (status !== 0 && counted.numFailedTests === 0 ? 1 : 0);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
