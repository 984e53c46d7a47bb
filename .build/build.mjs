// Bundles the command line, the language server and the extension into dist/. Each runs with plain Node, without node_modules.
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ensureInstalled, root } from './install.mjs';

export async function buildAll({ minify = true, outdir = 'dist' } = {}) {
  const { build } = await import('esbuild');
  const common = {
    absWorkingDir: root,
    bundle: true,
    minify,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    outdir,
    outExtension: { '.js': '.cjs' },
    conditions: ['production'],
    logLevel: 'warning',
    legalComments: 'linked',
  };
  await Promise.all([
    build({
      ...common,
      entryPoints: { tagstrip: 'server/cli/node.ts' },
      banner: { js: '#!/usr/bin/env node' },
    }),
    build({
      ...common,
      entryPoints: { 'tagstrip-lsp': 'server/lsp/node.ts' },
      banner: { js: '#!/usr/bin/env node' },
    }),
    build({ ...common, entryPoints: { extension: 'client/extension.ts' }, external: ['vscode'] }),
  ]);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  ensureInstalled();
  await buildAll();
  console.log(
    `Built ${join('dist', 'tagstrip.cjs')}, ${join('dist', 'tagstrip-lsp.cjs')} and ${join('dist', 'extension.cjs')}.`,
  );
}
