/** Many sheets are shared out to threads: what comes out is what one thread would have said, in the same order. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readArguments } from '../../server/cli/arguments.ts';
import { partsFromThreads } from '../../server/cli/threads.ts';
import { manySheets } from '../perf/many-sheets.ts';
import { tagstrip as runTagstrip } from '../support/command.ts';

let folder = '';
let script = '';

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tagstrip-threads-'));
  script = join(folder, 'tagstrip.cjs');
  await build({
    entryPoints: ['server/cli/node.ts'],
    bundle: true,
    platform: 'node',
    format: 'cjs',
    outfile: script,
    logLevel: 'silent',
  });
  for (const { path, text } of manySheets(24)) {
    const file = join(folder, 'sheets', path);
    mkdirSync(join(file, '..'), { recursive: true });
    writeFileSync(file, text);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function tagstrip(args: readonly string[], threads: boolean) {
  return runTagstrip(args, {
    at: join(folder, 'sheets'),
    threads: threads ? { script, threadsFrom: 20 } : {},
  });
}

describe('many sheets', () => {
  it.each([['check'], ['check', '--format', 'json'], ['read'], ['repeats']])(
    '%s %s %s says the same from several threads',
    async (...args) => {
      const alone = await tagstrip(args, false);
      expect(await tagstrip(args, true)).toEqual(alone);
      expect(alone.out.length).toBeGreaterThan(1000);
    },
  );

  it('are unusable where a thread cannot read one', async () => {
    const call = readArguments(['check']);
    if (call.kind !== 'call') throw new Error('check is a verb');
    const setting = { terminal: { colour: false, width: 100 }, folder, version: '0' };
    const parts = partsFromThreads(script, { verb: 'check', call: call.call, setting }, [
      pathToFileURL(join(folder, 'nowhere.tagstrip.md')).href,
    ]);
    await expect(parts.next()).rejects.toThrow(/cannot read .*nowhere/);
  });
});
