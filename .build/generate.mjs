// Writes what is generated from the rules. A test in tests/rules/pages.test.ts fails when this was forgotten.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ensureInstalled, root } from './install.mjs';

ensureInstalled();
const { build } = await import('esbuild');
const folder = mkdtempSync(join(root, 'node_modules', '.generate-'));
const outfile = join(folder, 'rule-pages.cjs');
await build({
  entryPoints: [join(root, '.build', 'rule-pages.ts')],
  bundle: true,
  platform: 'node',
  format: 'cjs',
  outfile,
  logLevel: 'warning',
});
const { rulePages, withRuleTable } = await import(pathToFileURL(outfile).href);
writeFileSync(join(root, 'server', 'rules', 'README.md'), await rulePages());
const readme = join(root, 'README.md');
writeFileSync(readme, withRuleTable(readFileSync(readme, 'utf8')));
rmSync(folder, { recursive: true });
console.log('Wrote server/rules/README.md and the rule table in README.md.');
