// Bundles the command line, the language server and the extension into dist/: each for plain Node without node_modules, and the last
// two also for a browser.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ensureInstalled, root } from './install.mjs';

/** What speaks to the server is a file of its own, which is not even read while only ordinary Markdown is open. */
const serverApart = {
  name: 'server-apart',
  setup({ onResolve }) {
    onResolve({ filter: /^\.\/server\.ts$/ }, () => ({ path: './extension-server.cjs', external: true }));
  },
};

/** Writes all bundles; answers with what went into each, by its name. */
export async function buildAll({ minify = true, outdir = 'dist' } = {}) {
  const { build } = await import('esbuild');
  const shared = {
    absWorkingDir: root,
    bundle: true,
    minify,
    format: 'cjs',
    outdir,
    outExtension: { '.js': '.cjs' },
    conditions: ['production'],
    logLevel: 'warning',
    legalComments: 'none',
    metafile: true,
  };
  const common = { ...shared, platform: 'node', target: 'node20' };
  const browser = { ...shared, platform: 'browser', target: 'es2022' };
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
    build({
      ...common,
      entryPoints: { extension: 'client/extension.ts' },
      external: ['vscode'],
      plugins: [serverApart],
      // Asked for as other files are: the editor's own module is known only there.
      supported: { 'dynamic-import': false },
    }),
    build({ ...common, entryPoints: { 'extension-server': 'client/server.ts' }, external: ['vscode'] }),
    build({ ...browser, entryPoints: { 'extension-browser': 'client/browser.ts' }, external: ['vscode'] }),
    build({
      ...browser,
      entryPoints: { 'tagstrip-worker': 'server/worker/web-worker.ts' },
      format: 'iife',
      outExtension: {},
      // A worker has no page: without this, packages that read character references through the page would be taken so.
      conditions: ['production', 'worker'],
    }),
  ]);
  const inputs = built.flatMap(({ metafile }) => Object.keys(metafile.inputs));
  writeFileSync(join(isAbsolute(outdir) ? outdir : join(root, outdir), 'NOTICES.txt'), noticesOf(inputs));
  writeFileSync(join(isAbsolute(outdir) ? outdir : join(root, outdir), 'README.md'), readmeToPack());
  return Object.fromEntries(
    built.flatMap(({ metafile }) =>
      Object.entries(metafile.outputs).map(([path, output]) => [path.split('/').at(-1), output]),
    ),
  );
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

/** The README as the extension carries it: without its pictures, which would weigh a third of the whole. */
function readmeToPack() {
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  return readme.replace(/^ *!\[[^\]]*\]\(client\/readme\/[^)]*\)\n\n/gm, '');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  ensureInstalled();
  const built = await buildAll();
  console.log(`Built ${Object.keys(built).join(', ')} in dist.`);
}
