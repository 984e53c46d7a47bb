/** The editor and the command line say the same of every sample: same rules, same places, same words. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { diskFiles } from '../../server/shop/disk-files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { rangeOf } from '../../server/text/snapshot.ts';
import { withServer } from '../support/lsp-client.ts';

const folder = new URL('../../samples/', import.meta.url);
const texts = Object.fromEntries(
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.tagstrip.md'))
    .map((path) => {
      const url = new URL(path.replaceAll('\\', '/'), folder);
      return [pathToFileURL(fileURLToPath(url)).href, readFileSync(url, 'utf8')] as const;
    }),
);

describe('editor and command line', () => {
  it.each(Object.keys(texts))('agree on %s', async (uri) => {
    const analysis = await createShop({ files: diskFiles }).analyse(uri);
    if (analysis === undefined) throw new Error('not a sheet');
    const onCommandLine = analysis.findings
      .filter(({ accepted }) => accepted === undefined)
      .map(({ rule, message, source }) => ({
        code: rule,
        message,
        range: rangeOf(analysis.sheet.snapshot, source.span),
      }));
    await withServer(async (client) => {
      client.open(texts[uri] ?? '', { uri });
      const { diagnostics } = await client.next();
      expect(diagnostics.map(({ code, message, range }) => ({ code, message, range }))).toEqual(
        onCommandLine,
      );
    }, texts);
  });
});
