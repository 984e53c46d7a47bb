// Bundles the command line, the language server and the extension into dist/. Each runs with plain Node, without node_modules.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
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
    legalComments: 'none',
    metafile: true,
  };
  const built = await Promise.all([
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
  const inputs = built.flatMap(({ metafile }) => Object.keys(metafile.inputs));
  writeFileSync(join(isAbsolute(outdir) ? outdir : join(root, outdir), 'NOTICES.txt'), noticesOf(inputs));
}

/** The licences of every package that is bundled, as they ask to be carried along. */
function noticesOf(inputs) {
  const folders = new Set(inputs.flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path) ?? []));
  const notices = [...folders].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(join(root, folder, 'package.json'), 'utf8'));
    const file = readdirSync(join(root, folder)).find((entry) => /^licen[cs]e(\.|$)/i.test(entry));
    const text =
      file === undefined ? `Licence: ${license}` : readFileSync(join(root, folder, file), 'utf8').trim();
    return `${name} ${version}\n\n${text}\n`;
  });
  return `Tagstrip carries code of these packages.\n\n${notices.join(`\n${'-'.repeat(72)}\n\n`)}`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  ensureInstalled();
  await buildAll();
  console.log(
    `Built ${join('dist', 'tagstrip.cjs')}, ${join('dist', 'tagstrip-lsp.cjs')} and ${join('dist', 'extension.cjs')}.`,
  );
}
